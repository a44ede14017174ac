// Types into the search box of a build book in headless Chromium and says what is left to see.
// node find.mjs BOOK.html      prints one JSON object
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";

const CHROMIUM = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(existsSync);
const ARGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync"];
const SEARCHES = ["gear oil", "rear brake 10 may", "that one STAYS", "no such thing"];
const page_url = "file://" + resolve(process.argv[2]);
const result = { errors: [], requests: [], searches: {} };

async function opened(javaScriptEnabled, work) {
  const profile = mkdtempSync(join(tmpdir(), "find-"));
  const browser = await chromium.launchPersistentContext(profile, { executablePath: CHROMIUM, args: ARGS, javaScriptEnabled });
  try {
    const page = await browser.newPage();
    page.on("pageerror", (error) => result.errors.push(String(error)));
    page.on("request", (request) => { if (request.url() !== page_url) result.requests.push(request.url()); });
    await page.goto(page_url, { waitUntil: "load" });
    await work(page);
  } finally {
    await browser.close();
    rmSync(profile, { recursive: true, force: true });
  }
}

const entries = (page) => page.locator("[data-find]:not([hidden])").count();

await opened(true, async (page) => {
  result.all = await entries(page);
  const box = page.getByLabel("Find in this book");
  for (const words of SEARCHES) {
    await box.fill(words);
    const visible = page.locator("[data-find]:visible");
    result.searches[words] = {
      shown: await visible.count(),
      text: (await visible.allInnerTexts()).join("\n"),
      result: await page.getByRole("status").innerText(),
      headings: await page.locator("h2:visible").allInnerTexts(),
    };
  }
  await box.press("Escape");
  result.after_escape = { shown: await entries(page), value: await box.inputValue(), result: await page.getByRole("status").innerText() };
});
await opened(false, async (page) => {
  const words = page.locator("details").first();
  await words.locator("summary").click();
  result.without_script = {
    shown: await entries(page),
    box: await page.getByLabel("Find in this book").isVisible(),
    opened_words: await words.locator("p").first().isVisible(),
  };
});
console.log(JSON.stringify(result, null, 1));
