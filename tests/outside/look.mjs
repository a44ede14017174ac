// Opens a page in headless Chromium and says what an eye cannot, as one JSON object: axe-core's findings, sideways
// scrolling, requests, dead links, the time until it can be used, whether the player jumps and what works without script.
//   node look.mjs PAGE.html [--quick] [--shots DIR]
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";

const CHROMIUM = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(existsSync);
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"];
const WIDTHS = [390, 820, 1400];
const pageUrl = "file://" + resolve(process.argv[2]).split("/").map(encodeURIComponent).join("/");
const quick = process.argv.includes("--quick");
const shots = process.argv.includes("--shots") ? process.argv[process.argv.indexOf("--shots") + 1] : null;

const profile = mkdtempSync(join(tmpdir(), "look-"));
const options = {
  executablePath: CHROMIUM,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--autoplay-policy=no-user-gesture-required", "--mute-audio"],
};
const found = { axe: [], sideways: [], requests: [], errors: [], dead_links: [] };
const browser = await chromium.launchPersistentContext(profile, options);

function watch(page) {
  page.on("request", (request) => {
    if (!request.url().startsWith("data:") && request.url() !== pageUrl) found.requests.push(request.url());
  });
  page.on("pageerror", (error) => found.errors.push(String(error)));
  page.on("dialog", (dialog) => { found.errors.push("dialog: " + dialog.message()); dialog.dismiss(); });
}

async function fresh(width, colorScheme) {
  const page = await browser.newPage();
  watch(page);
  await page.emulateMedia({ colorScheme });
  await page.setViewportSize({ width, height: 900 });
  await page.goto(pageUrl, { waitUntil: "load" });
  return page;
}

async function checkLooks() {
  for (const scheme of ["light", "dark"]) {
    for (const width of WIDTHS) {
      const page = await fresh(width, scheme);
      const extra = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (extra > 0) found.sideways.push(`${scheme}, ${width} px wide: ${extra} px too much`);
      await page.evaluate(AXE);
      const violations = await page.evaluate((rules) => axe.run(document, { runOnly: rules }).then((result) =>
        result.violations.map((v) => `${v.id}: ${v.help} (${v.nodes.length}) ${v.nodes[0].html.slice(0, 160)}`)), RULES);
      found.axe.push(...violations.map((violation) => `${scheme}, ${width} px wide: ${violation}`));
      if (shots) await page.screenshot({ path: join(shots, `${scheme}-${width}.png`), fullPage: true });
      await page.close();
    }
  }
}

// WCAG 2.1, 1.4.10 "Reflow": 320 px is a 1280 px screen at four times the size. And text spacing, 1.4.12.
async function checkReflow() {
  const page = await fresh(320, "light");
  await page.addStyleTag({ content: "* { line-height: 1.5 !important; letter-spacing: .12em !important; word-spacing: .16em !important; }" });
  const extra = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  if (extra > 0) found.sideways.push(`320 px wide, spaced text: ${extra} px too much`);
  if (shots) await page.screenshot({ path: join(shots, "spaced-320.png"), fullPage: true });
  await page.close();
}

async function checkUse() {
  const page = await browser.newPage();
  watch(page);
  await page.setViewportSize({ width: 820, height: 900 });
  // Processor time of the page's own thread: a busy machine does not count against the page.
  const session = await browser.newCDPSession(page);
  await session.send("Performance.enable", { timeDomain: "threadTicks" });
  await page.goto(pageUrl, { waitUntil: "load" });
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  const { metrics } = await session.send("Performance.getMetrics");
  found.busy_ms = Math.round(1000 * metrics.find((metric) => metric.name === "TaskDuration").value);
  found.words = await page.evaluate(() => document.querySelectorAll('[id^="w"]').length);
  found.dead_links = await page.evaluate(() => [...document.querySelectorAll('a[href^="#"]')]
    .map((link) => link.getAttribute("href").slice(1)).filter((id) => !document.getElementById(id)));
  if (await page.$("#player")) {
    const link = page.locator(".entry a.at").last();
    found.wanted_s = Number((await link.getAttribute("href")).split("#t=")[1]);
    await link.click();
    await page.waitForFunction(() => !document.getElementById("player").seeking, null, { timeout: 10000 });
    found.played_s = await page.evaluate(() => document.getElementById("player").currentTime);
    found.still_here = page.url() === pageUrl;
  }
  const words = page.locator(".entry a.words").last();
  await words.click();
  found.shown = await page.evaluate(() => [...document.querySelectorAll(".shown")].map((place) => place.textContent).join(" "));
  const corr = page.locator(".transcript p [tabindex]").first();
  if (await corr.count()) {
    await corr.focus();
    const opacity = () => corr.locator(".heard").evaluate((note) => {
      const style = getComputedStyle(note);
      return style.display === "none" ? 0 : Number(style.opacity);
    });
    found.heard_on_focus = await opacity();
    await page.keyboard.press("Escape");
    found.heard_after_escape = await opacity();
  }
  await page.close();
}

async function checkWithoutScript() {
  const bare = await chromium.launch(options);
  const page = await (await bare.newContext({ javaScriptEnabled: false })).newPage();
  await page.goto(pageUrl);
  const words = page.locator(".entry a.words").first();
  await words.click();
  found.without_script = {
    entries: await page.locator(".entry .did").count(),
    at: new URL(page.url()).hash,
    wanted: await words.getAttribute("href"),
  };
  await bare.close();
}

try {
  if (!quick) await checkLooks();
  if (!quick) await checkReflow();
  await checkUse();
  if (!quick) await checkWithoutScript();
} finally {
  await browser.close();
  rmSync(profile, { recursive: true, force: true });
}
console.log(JSON.stringify(found, null, 1));
