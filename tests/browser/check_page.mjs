// Pages of `coldgrease report` in a browser: on a phone, on a laptop, and printed on A4 and Letter.
// Usage: check_page.mjs COMMAND DEMO_FOLDER SCRATCH_FOLDER PACKAGES_FOLDER CHROMIUM
// Exit 0 if nothing was found, else 1 with a line for each thing found.
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

import { make_checks, run } from './checks.mjs';
import { make_fleets } from './fleets.mjs';
import { planted, with_planted } from './planted.mjs';

const [command, demo, scratch, packages, chromium] = process.argv.slice(2);

rmSync(scratch, { recursive: true, force: true });
const checks = await make_checks(packages, chromium);
const most_told = 40;  // faults of a page
let faults = 0;

async function check_fleet(fleet) {
  let told = 0;
  const fault = (what) => {
    ++faults;
    if (++told <= most_told) console.log(`FAULT ${fleet.name}: ${what.slice(0, 400)}`);
  };
  const html = `${fleet.path}.html`;
  const begin = process.hrtime.bigint();
  run(command, ['report', fleet.path, '-o', html]);
  const seconds = Number(process.hrtime.bigint() - begin) * 1e-9;
  const answer = JSON.parse(run(command, ['report', fleet.path, '--json']));
  const bytes = Buffer.byteLength(readFileSync(html));
  if (fleet.most_bytes && bytes > fleet.most_bytes) fault(`${bytes} bytes, more than ${fleet.most_bytes}`);
  // Else the page of flags would show none.
  if (fleet.flagged && !(answer.flags.length > 0 && answer.plan.routes.some((r) => r.fills.length === 0)))
    fault('no red flag, or a grease for every route: it shows nothing');
  const pages = await checks.check(html, answer, fault);
  for (const [paper, n] of Object.entries(pages)) {
    if (fleet.most_pages && n > fleet.most_pages) fault(`${n} pages ${paper}, more than ${fleet.most_pages}`);
  }
  for (const reader of fleet.readers ?? []) {
    const part = `${fleet.path}.${reader}.html`;
    run(command, ['report', fleet.path, '--for', reader, '-o', part]);
    const n = await checks.check_part(part, (what) => fault(`for the ${reader}: ${what}`));
    console.log(`${fleet.name}, for the ${reader}: ${n} pages A4`);
  }
  if (told > most_told) console.log(`FAULT ${fleet.name}: and ${told - most_told} more`);
  console.log(`${fleet.name}: ${(bytes / 1000).toFixed(0)} kB, written in ${seconds.toFixed(2)} s, printed on ` +
    Object.entries(pages).map(([paper, n]) => `${n} pages ${paper}`).join(', '));
  return { html, answer };
}

/// A check that finds nothing could be one that looks at nothing: each must find what is planted for it.
async function check_planted({ html, answer }) {
  const found = [];
  const spoilt = join(scratch, 'planted.html');
  writeFileSync(spoilt, with_planted(readFileSync(html, 'utf8'), answer));
  await checks.check(spoilt, answer, (what) => found.push(what));
  for (const words of planted) {
    if (found.some((what) => what.includes(words))) continue;
    ++faults;
    console.log(`FAULT planted, not found: ${words}`);
  }
}

try {
  let first;
  for (const fleet of make_fleets(demo, scratch)) {
    const seen = await check_fleet(fleet);
    first ??= seen;
  }
  await check_planted(first);
} finally {
  await checks.close();
}
console.log(`browser: ${faults} faults`);
process.exitCode = faults === 0 ? 0 : 1;
