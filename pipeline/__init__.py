"""witnessmark: from what was said at the bench to a build log that shows its evidence.

The package is laid out in the order of the flow; `pipeline.flow.run_recording` is the whole of it on one screen.
"""

__version__ = "0.1.0"
