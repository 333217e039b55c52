// What of a printed page can be told from the places of its words.

const points_per_mm = 72 / 25.4;
const least_full = 0.25;  // of a page's height between its margins

const plain = (words) => words.replace(/&lt;/gu, '<').replace(/&gt;/gu, '>').replace(/&quot;/gu, '"')
  .replace(/&#39;/gu, "'").replace(/&amp;/gu, '&');

/// Pages of `pdftotext -bbox`: words with their places, those in the margins apart.
function pages_of(bbox, margin) {
  return bbox.split('<page ').slice(1).map((page) => {
    const height = Number(/height="([\d.]+)"/u.exec(page)[1]);
    const edge = margin * points_per_mm;
    const words = [...page.matchAll(/xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="[\d.-]+" yMax="([\d.-]+)">(.*?)<\/word>/gu)]
      .map((m) => ({ left: Number(m[1]), top: Number(m[2]), foot: Number(m[3]), text: plain(m[4]) }));
    return {
      edge,
      high: height - 2 * edge,
      body: words.filter((w) => w.top < height - edge),
      foot: words.filter((w) => w.top >= height - edge).map((w) => w.text).join(' '),
    };
  });
}

/// True if a page ends with a head: with all its words, or with a last line of nothing but words of a head of a table.
/// @param high_of  height of letters from their size in pixels
function ends_with(page, last, head, high_of) {
  const words = head.words.split(/\s+/u).filter((w) => w !== '');
  const line = page.body.filter((w) => w.foot > last - 5);
  const tail = head.is_row ? line : page.body.slice(-words.length);
  if (tail.length === 0 || tail.at(-1).foot < last - 5) return false;
  // A row of a table or a picture may say what a heading says, in other letters or farther in.
  const as_large = tail.every((w) => Math.abs((w.foot - w.top) / high_of(head.px) - 1) < 0.03);
  if (!as_large || Math.abs(tail[0].left - page.edge) > 3) return false;
  if (head.is_row) return line.length > 1 && line.every((w) => words.includes(w.text)) && words.at(-1) === line.at(-1).text;
  return tail.map((w) => w.text).join('') === words.join('');
}

/// Sentences about pages that are nearly empty, that end with a head, or that do not say their number.
/// @param heads  the page's title first
export function faults_of_paper(bbox, margin, heads) {
  const faults = [];
  const pages = pages_of(bbox, margin);
  // A page that is too wide is printed smaller: its title tells how small.
  const title = pages[0].body[0];
  const high_of = (px) => (title.foot - title.top) * px / heads[0].px;
  pages.forEach((page, n) => {
    const last = Math.max(...page.body.map((w) => w.foot), page.edge);
    const full = (last - page.edge) / page.high;
    if (full < least_full) faults.push(`page ${n + 1} is ${Math.round(100 * full)} % full`);
    if (!page.foot.includes(`page ${n + 1} of ${pages.length}`)) faults.push(`page ${n + 1} lacks its number`);
    // What stands on its last page may end with anything; the next page shows what a head is of.
    const alone = n + 1 < pages.length && heads.find((head) => ends_with(page, last, head, high_of));
    if (alone) faults.push(`page ${n + 1} ends with a head: ${alone.words}`);
  });
  return { faults, count: pages.length };
}
