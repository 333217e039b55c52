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

/// Sentences about pages that are nearly empty, that end with a heading, or that do not say their number.
/// @param heads  texts of headings, captions and heads of tables
export function faults_of_paper(bbox, margin, heads) {
  const faults = [];
  const pages = pages_of(bbox, margin);
  const head_words = heads.map((h) => new Set(h.split(/\s+/u).flatMap((w) => [w, w.replace(/^.*[a-z](?=[A-Z])/u, '')])));
  pages.forEach((page, n) => {
    const last = Math.max(...page.body.map((w) => w.foot), page.edge);
    const full = (last - page.edge) / page.high;
    if (full < least_full) faults.push(`page ${n + 1} is ${Math.round(100 * full)} % full`);
    if (!page.foot.includes(`page ${n + 1} of ${pages.length}`)) faults.push(`page ${n + 1} lacks its number`);
    const line = page.body.filter((w) => w.foot > last - 5).map((w) => w.text);
    const alone = heads.findIndex((h, k) => h.endsWith(line.at(-1)) && line.every((w) => head_words[k].has(w)));
    if (line.length > 0 && alone >= 0) faults.push(`page ${n + 1} ends with a head: ${line.join(' ')}`);
  });
  return { faults, count: pages.length };
}
