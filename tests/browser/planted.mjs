// Faults put into a page, and what the checks must say of each.

export const planted = [
  'html-validate no-dup-id',
  'phone: axe-core color-contrast',
  'laptop: axe-core svg-img-alt',
  'laptop: console error: planted',
  'laptop: error in the page: planted',
  'laptop: asks for file:///planted.png',
  'phone: wider than the page: 2000 px of 390',
  'A4: wider than the page: 2000 px',
  'laptop: cut off by its picture: "planted"',
  'laptop: words on words: "planted" and "planted"',
  'laptop: words on a line: "planted" on a line',
  'laptop: words on a line: "marked" on a mark',
  'A4: page 1 is ',
  'A4: page 1 lacks its number',
  'A4: page 2 ends with a head: planted head',
  'laptop: drawn outside its picture: <path d="M-20 5h400"',
  'A4: the printed words lack ',
  'Letter: the printed words lack ',
];

/// The page with all of them; the decision loses the grease of the first route, and the page its content policy, under
/// which no script would run.
export function with_planted(html, answer) {
  const words = `<p style="color:#aaa" id="planted">pale</p><p id="planted">twice</p>
<div style="width:2000px;margin-left:0;position:absolute;left:0">wide</div>
<svg viewBox="0 0 100 20" width="100" height="20" role="img"><text x="90" y="15">planted</text>
<text x="91" y="15">planted</text><path d="M-20 5h400" stroke="#000"/>
<path d="M0 12L100 12" fill="none" stroke="#000"/><text x="4" y="15">marked</text><path d="M20 8h6v6h-6Z" fill="#000"/></svg>
<img src="file:///planted.png" alt="planted">
<script>console.error('planted'); setTimeout(() => { throw new Error('planted'); });</script>`;
  const table = html.indexOf('What to pump');
  const grease = answer.plan.routes[0].fills[0].grease;
  const spoilt = html.slice(0, table) + html.slice(table).replaceAll(grease, 'another');
  const open = spoilt.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, '');
  if (open === spoilt) throw new Error('the page has no content policy');
  // A first page of a line, a second one that ends with a head, and none with a number.
  const sheets = `<p style="break-after:page">planted</p><h3 style="margin-top:30em;break-after:page">planted head</h3>`;
  return open.replace(/@page\{.*\}\n/, '@page{margin:14mm}\n').replace('<main>', `<main>${sheets}`)
    .replace('</main>', `${words}</main>`);
}
