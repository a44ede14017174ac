"""Moving pictures for the video sample: simple drawings of the work on the stand. No part of the installed package.

Frames are drawn with numpy alone and piped to ffmpeg. Each chapter has its own scene, and a hand, a tool and the
parts keep moving, so that stills taken at different times differ.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

WIDTH, HEIGHT, FRAMES_PER_S = 480, 270, 10
Frame = NDArray[np.uint8]
Colour = tuple[int, int, int]

STEEL, DARK, RUBBER, BRASS = (150, 158, 165), (62, 66, 72), (38, 40, 44), (190, 150, 70)
GLOVE, WOOD, PAINT, OIL = (70, 110, 170), (132, 96, 62), (60, 120, 140), (196, 150, 40)
_Y, _X = np.mgrid[0:HEIGHT, 0:WIDTH]


def disc(frame: Frame, x: float, y: float, radius: float, colour: Colour) -> None:
    frame[(_X - x) ** 2 + (_Y - y) ** 2 <= radius**2] = colour


def box(frame: Frame, x: float, y: float, width: float, height: float, colour: Colour) -> None:
    frame[max(0, int(y)) : max(0, int(y + height)), max(0, int(x)) : max(0, int(x + width))] = colour


def bar(frame: Frame, x: float, y: float, angle_rad: float, length: float, width: float, colour: Colour) -> None:
    """A straight bar from (x, y) in the direction of the angle."""
    along = (_X - x) * np.cos(angle_rad) + (_Y - y) * np.sin(angle_rad)
    across = -(_X - x) * np.sin(angle_rad) + (_Y - y) * np.cos(angle_rad)
    frame[(along >= 0) & (along <= length) & (np.abs(across) <= width / 2)] = colour


def bolt(frame: Frame, x: float, y: float, angle_rad: float, radius: float = 11) -> None:
    """A hexagon head turned by the angle."""
    inside = np.ones(frame.shape[:2], bool)
    for side in range(6):
        turned = angle_rad + side * np.pi / 3
        inside &= (_X - x) * np.cos(turned) + (_Y - y) * np.sin(turned) <= radius
    frame[inside] = STEEL
    disc(frame, x, y, radius * 0.45, DARK)


def hand(frame: Frame, x: float, y: float) -> None:
    disc(frame, x, y, 24, GLOVE)
    for finger in range(4):
        bar(frame, x - 14 + finger * 9, y, -np.pi / 2 + (finger - 1.5) * 0.15, 40, 8, GLOVE)
    bar(frame, x, y, np.pi / 2 - 0.3, 150, 34, (50, 52, 60))


def scene_bench(frame: Frame, t: float) -> None:
    """Parts laid out; the hand lifts them in turn."""
    box(frame, 0, 190, WIDTH, 80, WOOD)
    chosen = int(t / 3) % 4
    for index, colour in enumerate((STEEL, RUBBER, BRASS, PAINT)):
        lift = 45 * abs(np.sin(t * np.pi / 3)) if index == chosen else 0
        disc(frame, 80 + index * 105, 170 - lift, 34, colour)
        disc(frame, 80 + index * 105, 170 - lift, 13, DARK)
    hand(frame, 95 + chosen * 105, 215 - 45 * abs(np.sin(t * np.pi / 3)))


def scene_leg(frame: Frame, t: float) -> None:
    """The leg of the engine with its propeller; oil runs into a pan that fills."""
    box(frame, 200, 0, 90, 150, PAINT)
    box(frame, 185, 140, 140, 60, PAINT)
    for blade in range(3):
        bar(frame, 350, 172, t * 0.8 + blade * 2.094, 46, 20, BRASS)
    disc(frame, 350, 172, 14, DARK)
    box(frame, 150, 245, 140, 25, DARK)
    level = min(20.0, t * 0.5)
    box(frame, 154, 266 - level, 132, level, OIL)
    box(frame, 219 + 2 * np.sin(t * 9), 198, 4, 66, OIL)
    bolt(frame, 221, 192, t)
    hand(frame, 120 + 25 * np.sin(t * 0.9), 180)


def scene_pump(frame: Frame, t: float) -> None:
    """The impeller turns down into its housing while a spanner works on the bolts around it."""
    disc(frame, 230, 140, 100, STEEL)
    disc(frame, 230, 140, 78, DARK)
    for vane in range(6):
        bar(frame, 230, 140, t * 0.7 + vane * np.pi / 3, 72, 11, RUBBER)
    disc(frame, 230, 140, 24, BRASS)
    corners = [(150, 60), (310, 60), (310, 220), (150, 220)]
    for index, (x, y) in enumerate(corners):
        bolt(frame, x, y, t * 2 if index == int(t / 4) % 4 else index)
    x, y = corners[int(t / 4) % 4]
    swing = 0.5 * np.sin(t * 3)
    bar(frame, x, y, swing, 130, 13, (205, 208, 212))
    hand(frame, x + 125 * np.cos(swing), y + 125 * np.sin(swing))


def scene_lift(frame: Frame, t: float) -> None:
    """The gearcase goes up to the leg."""
    rise = min(60.0, (t % 12) * 8)
    box(frame, 190, 0, 110, 60, PAINT)
    box(frame, 205, 150 - rise, 80, 90, PAINT)
    bar(frame, 245, 150 - rise, -np.pi / 2, 75, 9, STEEL)
    for index in range(4):
        bolt(frame, 205 + index * 27, 62, t * 3 + index, 8)
    hand(frame, 150, 215 - rise)
    hand(frame, 340, 215 - rise)


def scene_plugs(frame: Frame, t: float) -> None:
    """Three plugs, one being screwed out with the wrench."""
    box(frame, 120, 20, 120, 230, DARK)
    for index in range(3):
        out = 60 * (t % 6) / 6 if index == int(t / 6) % 3 else 0
        y = 60 + index * 75
        bar(frame, 240 + out, y, 0, 55, 16, (225, 225, 220))
        bolt(frame, 246 + out, y, t * 2, 13)
    y = 60 + (int(t / 6) % 3) * 75
    hand(frame, 330 + 10 * (t % 6), y + 30 * np.sin(t * 4) * 0.4)


# One scene a chapter, in order.
SCENES: list[Callable[[Frame, float], None]] = [
    scene_bench,
    scene_leg,
    scene_lift,
    scene_pump,
    scene_lift,
    scene_leg,
    scene_plugs,
    scene_bench,
]
_WALLS: list[Colour] = [(214, 208, 196), (196, 206, 210), (208, 214, 200), (218, 206, 200), (200, 200, 214)]


def draw(scene: int, t: float) -> Frame:
    """One frame of a scene, `t` seconds after its start."""
    frame = np.empty((HEIGHT, WIDTH, 3), np.uint8)
    frame[:] = _WALLS[scene % len(_WALLS)]
    SCENES[scene % len(SCENES)](frame, t)
    return frame


def encode(out: Path, wave_file: Path, duration_ms: int, chapters: Sequence[tuple[int, str]]) -> None:
    """Writes an MP4 of the drawings with the given sound; the scene changes where a chapter starts."""
    frames = f"-f rawvideo -pix_fmt rgb24 -s {WIDTH}x{HEIGHT} -r {FRAMES_PER_S} -i -".split()
    picture = ["-c:v", "libx264", "-preset", "medium", "-crf", "30", "-pix_fmt", "yuv420p"]
    sound = ["-c:a", "aac", "-b:a", "48k", "-shortest", "-movflags", "+faststart", "-map_metadata", "-1"]
    command = [
        "ffmpeg",
        "-y",
        "-v",
        "error",
        *frames,
        "-i",
        str(wave_file),
        *picture,
        *sound,
        "-fflags",
        "+bitexact",
        str(out),
    ]
    starts_ms = [start_ms for start_ms, _ in chapters]
    with subprocess.Popen(command, stdin=subprocess.PIPE) as process:
        assert process.stdin is not None
        for index in range(duration_ms * FRAMES_PER_S // 1000):
            now_ms = index * 1000 // FRAMES_PER_S
            scene = sum(start_ms <= now_ms for start_ms in starts_ms) - 1
            process.stdin.write(draw(scene, (now_ms - starts_ms[scene]) / 1000).tobytes())
        process.stdin.close()
        if process.wait():
            raise SystemExit(f"ffmpeg could not write {out}")
