// What of the decision must be found in the words of a printed page.

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/// A cell is broken where it pleases, at a hyphen too: words are compared without either.
const solid = (words) => words.replace(/[\s\u00ad-]+/gu, '');

function days_of(fill) {
  const words = (day) => {
    const [month, at] = day.split('-').map(Number);
    return `${at} ${months[month - 1]}`;
  };
  return fill.days === 365 ? 'all year' : `${words(fill.from)} to ${words(fill.to)}`;
}

/// Sentences that say what of `answer` (the JSON) is missing in `text`: for each route its greases and their dates
/// between its name and the next one's, and every red flag.
export function missing_decisions(text, answer) {
  const all = solid(text);
  const begin = all.indexOf('Whattopump'), end = all.indexOf('Agreasepassesadayif', begin);
  if (begin < 0 || end < begin) return ['no table "What to pump" before what it means'];
  const table = all.slice(begin, end);
  const missing = [];
  let at = 0;
  answer.plan.routes.forEach((r, n) => {
    const here = table.indexOf(solid(r.route), at);
    if (here < 0) {
      missing.push(`route ${r.route}`);
      return;
    }
    const next = answer.plan.routes[n + 1];
    const there = next ? table.indexOf(solid(next.route), here + 1) : -1;
    const rows = table.slice(here, there < 0 ? undefined : there);
    at = there < 0 ? here + 1 : there;
    if (r.fills.length === 0 && !/none/u.test(rows)) missing.push(`${r.route}: that no grease serves`);
    for (const fill of r.fills) {
      for (const words of [fill.grease, days_of(fill)]) {
        if (!rows.includes(solid(words))) missing.push(`${r.route}: ${words}`);
      }
    }
  });
  for (const flag of answer.flags) {
    if (!all.includes(solid(`${flag.where}: ${flag.what}`))) missing.push(`red flag ${flag.where}: ${flag.what}`);
  }
  return missing;
}
