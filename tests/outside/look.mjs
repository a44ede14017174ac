// Opens a page in headless Chromium and says what an eye cannot: axe-core's findings, sideways scrolling, time to use.
// node look.mjs PAGE.html [--shots DIR]      prints one JSON object
import { existsSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";

const CHROMIUM = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(existsSync);
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const WIDTHS = [390, 820, 1400];
const page_url = "file://" + resolve(process.argv[2]);
const shots = process.argv[3] === "--shots" ? process.argv[4] : null;

const profile = mkdtempSync(join(tmpdir(), "look-"));
const browser = await chromium.launchPersistentContext(profile, {
  executablePath: CHROMIUM,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync"],
});
const result = { axe: [], sideways: [], requests: [], errors: [], usable_ms: 0, targets: [], without_script: null };
try {
  const page = await browser.newPage();
  page.on("request", (request) => {
    if (!request.url().startsWith("data:") && request.url() !== page_url) result.requests.push(request.url());
  });
  page.on("pageerror", (error) => result.errors.push(String(error)));
  page.on("dialog", (dialog) => { result.errors.push("dialog: " + dialog.message()); dialog.dismiss(); });
  for (const scheme of ["light", "dark"]) {
    for (const width of WIDTHS) {
      await page.emulateMedia({ colorScheme: scheme });
      await page.setViewportSize({ width, height: 900 });
      await page.goto(page_url, { waitUntil: "load" });
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      if (wide > 0) result.sideways.push(`${width} px wide, ${scheme}: ${wide} px too much`);
      await page.evaluate(AXE);
      const found = await page.evaluate(async () => (await axe.run(document, {
        runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"],
      })).violations.map((v) => `${v.id}: ${v.help} (${v.nodes.length}) ${v.nodes[0].html.slice(0, 160)}`));
      for (const violation of found) result.axe.push(`${scheme} ${width}: ${violation}`);
      if (shots) await page.screenshot({ path: join(shots, `${scheme}-${width}.png`), fullPage: true });
    }
  }
  await page.setViewportSize({ width: 820, height: 900 });
  await page.goto(page_url, { waitUntil: "load" });
  result.usable_ms = await page.evaluate(() => Math.round(performance.getEntriesByType("navigation")[0].domInteractive));
  result.painted_ms = await page.evaluate(() => new Promise((done) =>
    requestAnimationFrame(() => requestAnimationFrame(() => done(Math.round(performance.now()))))));
  result.targets = await page.evaluate(() => [...document.querySelectorAll('a[href^="#"]')]
    .map((link) => link.getAttribute("href").slice(1)).filter((id) => !document.getElementById(id)));
  result.words = await page.evaluate(() => document.querySelectorAll('[id^="w"]').length);
} finally {
  await browser.close();
  rmSync(profile, { recursive: true, force: true });
}
console.log(JSON.stringify(result, null, 1));
