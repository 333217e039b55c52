// What is looked at in a page of the report: its markup, two screens, two papers. Each fault is told to `fault(what)`.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

import { missing_decisions } from './decision.mjs';
import { html_rules } from './html_rules.mjs';
import { heads, marks_outside, texts_on_lines, texts_outside, texts_overlapping, wide_elements } from './in_page.mjs';
import { faults_of_paper } from './paper.mjs';

const screens = { phone: 390, laptop: 1280 };  // [px]
const papers = { A4: 210, Letter: 215.9 };     // [mm]
const margin = 14;                             // [mm] of the style sheet's @page
const px_per_mm = 96 / 25.4;
const most_told = 20;

export function run(program, args) {
  return execFileSync(program, args, { encoding: 'utf8', maxBuffer: 1 << 28 });
}

/// @param packages  folder that holds node_modules
export async function make_checks(packages, chromium) {
  const packaged = createRequire(join(packages, 'package.json'));
  const axe = packaged('axe-core');
  const { HtmlValidate } = packaged('html-validate');
  // The page is our own and asks for nothing; as root a browser has no sandbox.
  const browser = await packaged('puppeteer-core')
    .launch({ executablePath: chromium, headless: 'new', args: ['--no-sandbox'] });

  async function check_markup(html, fault) {
    const report = await new HtmlValidate(html_rules).validateString(readFileSync(html, 'utf8'));
    const messages = report.results.flatMap((r) => r.messages);
    for (const m of messages.slice(0, most_told)) fault(`html-validate ${m.ruleId}, line ${m.line}: ${m.message}`);
    if (messages.length > most_told) fault(`html-validate: and ${messages.length - most_told} more`);
  }

  async function check_access(tab, fault) {
    await tab.evaluate(axe.source);
    const { violations } = await tab.evaluate(() => window.axe.run());
    for (const v of violations) {
      const why = v.nodes[0].failureSummary.replace(/\s+/gu, ' ').slice(0, 240);
      fault(`axe-core ${v.id}, ${v.nodes.length} times: ${v.help}: ${v.nodes[0].html.slice(0, 160)} ${why}`);
    }
  }

  async function check_layout(tab, fault) {
    for (const words of await tab.evaluate(wide_elements)) fault(`wider than the page: ${words}`);
  }

  /// A picture is scaled as a whole: one screen shows what all do.
  async function check_pictures(tab, fault) {
    for (const words of await tab.evaluate(texts_on_lines)) fault(`words on a line: ${words}`);
    for (const words of await tab.evaluate(texts_outside)) fault(`cut off by its picture: ${words}`);
    for (const words of await tab.evaluate(texts_overlapping)) fault(`words on words: ${words}`);
    for (const words of await tab.evaluate(marks_outside)) fault(`drawn outside its picture: ${words}`);
  }

  /// Opens the page in a tab that tells what it meets and asks for.
  async function open(url, width, fault) {
    const tab = await browser.newPage();
    tab.on('console', (m) => fault(`console ${m.type()}: ${m.text()}`));
    tab.on('pageerror', (e) => fault(`error in the page: ${e.message}`));
    tab.on('request', (r) => {
      if (r.url() !== url) fault(`asks for ${r.url()}`);
    });
    await tab.setViewport({ width, height: 900 });
    await tab.goto(url, { waitUntil: 'load' });
    return tab;
  }

  /// Looks at everything. @param answer  of `report --json`  Returns the number of pages on each paper.
  async function check(html, answer, fault) {
    const url = pathToFileURL(html).href;
    const pages = {};
    await check_markup(html, fault);
    for (const [name, width] of Object.entries(screens)) {
      const tell = (what) => fault(`${name}: ${what}`);
      const tab = await open(url, width, tell);
      await check_layout(tab, tell);
      if (name === 'laptop') await check_pictures(tab, tell);
      await check_access(tab, tell);
      await tab.close();
    }
    for (const name of Object.keys(papers)) pages[name] = await check_paper(html, name, answer, fault);
    return pages;
  }

  /// Prints it. Returns the number of pages. @param answer  nothing for a part of the page
  async function check_paper(html, name, answer, fault) {
    const tell = (what) => fault(`${name}: ${what}`);
    const tab = await open(pathToFileURL(html).href, Math.floor((papers[name] - 2 * margin) * px_per_mm), tell);
    await tab.emulateMediaType('print');
    await check_layout(tab, tell);
    const pdf = `${html}.${name}.pdf`;
    await tab.pdf({ path: pdf, format: name, printBackground: false });
    const { faults, count } = faults_of_paper(run('pdftotext', ['-bbox', pdf, '-']), margin, await tab.evaluate(heads));
    await tab.close();
    for (const words of faults) tell(words);
    if (answer) {
      for (const words of missing_decisions(run('pdftotext', ['-raw', pdf, '-']), answer))
        tell(`the printed words lack ${words}`);
    }
    return count;
  }

  /// One reader's part: its markup and one paper.
  async function check_part(html, fault) {
    await check_markup(html, fault);
    return check_paper(html, 'A4', undefined, fault);
  }

  return { check, check_part, close: () => browser.close() };
}
