// The report as a reader opens it: from disk, in Debian's Chromium, on a telephone, a tablet and a wide screen, on paper, and without its script.
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readCorpus } from '../../lib/intake/read-corpus.js';
import { studyReport } from '../../lib/pages/study-report.js';
import { toneTable } from '../../lib/solo/tone-table.js';

const CHROMIUM = '/usr/bin/chromium';
const ARGUMENTS = [
  '--no-sandbox',
  '--headless',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];
/** Where all must be checked, a missing browser is a fault; elsewhere the tests are said to be skipped. */
const isLeftOut = !existsSync(CHROMIUM) && process.env.CI !== 'true';

describe('the report in a browser', () => {
  const folder = mkdtempSync(join(tmpdir(), 'phrasewright-page-'));
  const path = join(folder, 'report.html');
  const address = pathToFileURL(path).href;
  let browser: Browser;

  beforeAll(async () => {
    if (isLeftOut) return;
    writeFileSync(path, await studyReport(toneTable(readCorpus(['data/solos']).solos)));
    browser = await chromium.launch({ executablePath: CHROMIUM, args: ARGUMENTS });
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  /** A page of some width, with everything it says or asks for from outside. */
  async function opened(
    width: number,
    more: { javaScriptEnabled?: boolean } = {},
  ): Promise<{ page: Page; said: string[] }> {
    const page = await browser.newPage({ viewport: { width, height: 900 }, ...more });
    const said: string[] = [];
    page.on('console', (message) => said.push(`${message.type()}: ${message.text()}`));
    page.on('pageerror', (error) => said.push(`error: ${error.message}`));
    page.on('request', (request) => {
      if (request.url() !== address && !request.url().startsWith('data:')) said.push(`asks for ${request.url()}`);
    });
    await page.goto(address);
    return { page, said };
  }

  /** Waits until the top of an element is on the screen: following a link scrolls there. */
  const inSight = (page: Page, id: string) =>
    expect
      .poll(async () => (await page.locator(`[id="${id}"]`).boundingBox())?.y ?? -1, { timeout: 5000 })
      .toSatisfy((y: number) => y >= 0 && y < 900);

  it.skipIf(isLeftOut).each([360, 768, 1600])(
    'says nothing, asks for nothing and fits at %i px, with all lists open too',
    async (width) => {
      const { page, said } = await opened(width);
      const wide = () => page.evaluate<number>('document.documentElement.scrollWidth - window.innerWidth');
      expect(await wide()).toBeLessThanOrEqual(0);
      await page.evaluate("document.querySelectorAll('details').forEach((details) => { details.open = true; })");
      expect(await wide()).toBeLessThanOrEqual(0);
      expect(said).toEqual([]);
      await page.close();
    },
  );

  it.skipIf(isLeftOut).each([true, false])(
    'a count opens its list, a place its phrase (script: %s)',
    async (javaScriptEnabled) => {
      const { page, said } = await opened(1280, { javaScriptEnabled });
      const list = page.locator('[id="player.marla-quillfeather.over.IV.6"]');
      expect(await list.isVisible()).toBe(false);
      await page.locator('td a[href="#player.marla-quillfeather.over.IV.6"]').nth(1).click();
      await list.waitFor({ state: 'visible' });
      await inSight(page, 'player.marla-quillfeather.over.IV.6');
      const place = list.locator('dd a').first();
      const target = ((await place.getAttribute('href')) as string).slice(1);
      await place.click();
      await page.waitForURL(`**#${target}`);
      await inSight(page, target);
      expect(said).toEqual([]);
      await page.close();
    },
  );

  it.skipIf(isLeftOut)('a cell of a heatmap leads to its places', async () => {
    const { page } = await opened(1280);
    await page
      .locator('section[id="player.marla-quillfeather"] figure a[href="#player.marla-quillfeather.over.IV.6"]')
      .first()
      .click();
    await page.locator('[id="player.marla-quillfeather.over.IV.6"]').waitFor({ state: 'visible' });
    await page.close();
  });

  it.skipIf(isLeftOut)(
    'a motif leads to its card and places, its band in a solo and a cell of relations to the tab of a phrase',
    async () => {
      const { page, said } = await opened(1280);
      await page
        .locator('[id="player.marla-quillfeather.motifs"] ~ .wide td a[href$=".motifs.1.places"]')
        .first()
        .click();
      await inSight(page, 'player.marla-quillfeather.motifs.1.places');
      const follow = async (link: ReturnType<typeof page.locator>) => {
        const target = ((await link.getAttribute('href')) as string).slice(1);
        await link.click();
        await page.waitForURL(`**#${target}`);
        await inSight(page, target);
        expect(target).toMatch(/^gull-on-the-rail\.\d+$/);
      };
      const figures = page.locator('section[id="gull-on-the-rail"] figure');
      await follow(figures.filter({ hasText: 'Where do motifs come back?' }).locator('a').first());
      await follow(figures.filter({ hasText: 'From which earlier phrase' }).locator('a').nth(3));
      await follow(figures.filter({ hasText: 'How is each phrase related' }).locator('a').last());
      expect(said).toEqual([]);
      await page.close();
    },
  );

  it.skipIf(isLeftOut)('readings are narrowed by what they say', async () => {
    const { page } = await opened(1280);
    const part = page.locator('section[id="player.tobias-underlamp"] details.readings');
    await part.locator('summary').click();
    const shown = () => part.locator('tbody tr:visible').count();
    const all = await shown();
    await part.getByLabel('against').check();
    expect(await shown()).toBe(5);
    await part.getByLabel('held bends').check();
    expect(await shown()).toBe(await part.locator('tr.bend').count());
    await part.getByLabel('all', { exact: true }).check();
    expect(await shown()).toBe(all);
    await page.close();
  });

  it.skipIf(isLeftOut)(
    'on paper the lists of places and the tabs of all phrases are left out, and nothing is wider than the sheet',
    async () => {
      const { page } = await opened(718); // A4 less its margins, at 96 px an inch
      await page.emulateMedia({ media: 'print' });
      expect(await page.locator('[id="player.marla-quillfeather.over.IV.6"] dd').first().isVisible()).toBe(false);
      expect(await page.locator('#solos .phrase').first().isVisible()).toBe(false);
      expect(await page.locator('.card pre').first().isVisible()).toBe(true);
      expect(await page.locator('nav').isVisible()).toBe(false);
      const clipped = await page.evaluate<number>(
        "[...document.querySelectorAll('pre, svg')].filter((e) => e.scrollWidth > e.clientWidth + 1 || e.getBoundingClientRect().right > innerWidth + 1).length",
      );
      expect(clipped).toBe(0);
      const sheets = (await page.pdf({ preferCSSPageSize: true })).toString('latin1').match(/\/Type\s*\/Page\b/g) ?? [];
      expect(sheets.length).toBeGreaterThan(10);
      expect(sheets.length).toBeLessThan(90);
      await page.close();
    },
  );
});
