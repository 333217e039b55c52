// Run inside the page: each function stands alone and returns sentences about what it found, at most ten.

/// The page itself must not be scrolled sideways; what is wide scrolls in its own frame.
export function wide_elements() {
  const wide = document.documentElement.scrollWidth, width = window.innerWidth;
  if (wide <= width) return [];
  const scrolls = (e) => getComputedStyle(e).overflowX !== 'visible' || (e.parentElement && scrolls(e.parentElement));
  const beyond = [...document.body.querySelectorAll('*')].filter(
    (e) => e.getBoundingClientRect().right > width + 0.5 && !scrolls(e.parentElement));
  const innermost = beyond.filter((e) => !beyond.some((other) => other !== e && e.contains(other)));
  return [`${wide} px of ${width}`, ...innermost.slice(0, 9).map((e) => e.outerHTML.slice(0, 160))];
}

/// Words of a picture that do not stand wholly in it.
export function texts_outside() {
  const found = [];
  for (const svg of document.querySelectorAll('svg')) {
    const box = svg.getBoundingClientRect();
    for (const text of svg.querySelectorAll('text')) {
      const r = text.getBoundingClientRect();
      if (r.left < box.left - 1 || r.right > box.right + 1 || r.top < box.top - 1 || r.bottom > box.bottom + 1)
        found.push(`"${text.textContent}" in "${svg.querySelector('title')?.textContent}"`);
    }
  }
  return found.slice(0, 10);
}

/// Words of a picture that stand on others.
export function texts_overlapping() {
  const found = [];
  for (const svg of document.querySelectorAll('svg')) {
    const texts = [...svg.querySelectorAll('text')].filter((t) => t.textContent.trim() !== '');
    const boxes = texts.map((t) => t.getBoundingClientRect());
    for (let i = 0; i < texts.length; ++i) {
      for (let j = 0; j < i; ++j) {
        const a = boxes[i], b = boxes[j];
        const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
        const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
        // A line's box is higher than its letters.
        if (wide > 1 && high > 0.35 * Math.min(a.height, b.height))
          found.push(`"${texts[j].textContent}" and "${texts[i].textContent}" in ` +
            `"${svg.querySelector('title')?.textContent}"`);
      }
    }
  }
  return found.slice(0, 10);
}

/// Marks and lines of a picture that do not stand wholly in it; what a frame cuts is cut before.
export function marks_outside() {
  const found = [];
  for (const svg of document.querySelectorAll('svg')) {
    const { width, height } = svg.viewBox.baseVal;
    for (const shape of svg.querySelectorAll('path:not([clip-path])')) {
      const r = shape.getBBox();
      if (r.x < -1 || r.y < -1 || r.x + r.width > width + 1 || r.y + r.height > height + 1)
        found.push(`${shape.outerHTML.slice(0, 120)} in "${svg.querySelector('title')?.textContent}"`);
    }
  }
  return found.slice(0, 10);
}

/// Words of a picture that stand on a curve, a line or a mark of it; the grid and what fills a large area lie behind.
export function texts_on_lines() {
  const found = [];
  const grid = '#d4d4d4', mark = 16;  // [px]
  for (const svg of document.querySelectorAll('svg')) {
    const boxes = [...svg.querySelectorAll('text')].filter((t) => t.textContent.trim() !== '').map((t) => {
      const r = t.getBBox();
      // The box is higher than its letters.
      const high = 0.22 * r.height;
      return { words: t.textContent, left: r.x + 1, right: r.x + r.width - 1, top: r.y + high, bottom: r.y + r.height - high };
    });
    const tell = (box, what) => found.push(`"${box.words}" on ${what} in "${svg.querySelector('title')?.textContent}"`);
    for (const path of svg.querySelectorAll('path')) {
      const d = path.getAttribute('d');
      if (path.getAttribute('stroke') === grid) continue;
      if (path.getAttribute('fill') !== 'none') {
        const r = path.getBBox();
        if (r.width > mark || r.height > mark) continue;
        for (const b of boxes) {
          if (r.x < b.right && r.x + r.width > b.left && r.y < b.bottom && r.y + r.height > b.top) tell(b, 'a mark');
        }
        continue;
      }
      if (!/^M[-\d. L]+$/u.test(d)) continue;  // frame and whiskers' ends
      // What lies outside its frame is cut off.
      const cut = /#([^)]+)/u.exec(path.getAttribute('clip-path') ?? '');
      const frame = cut ? document.getElementById(cut[1]).querySelector('rect') : null;
      const edge = (name) => Number(frame.getAttribute(name));
      const inside = (b) => frame ? {
        left: Math.max(b.left, edge('x')), right: Math.min(b.right, edge('x') + edge('width')),
        top: Math.max(b.top, edge('y')), bottom: Math.min(b.bottom, edge('y') + edge('height')),
      } : b;
      const at = [...d.matchAll(/(-?[\d.]+) (-?[\d.]+)/gu)].map((m) => [Number(m[1]), Number(m[2])]);
      for (const whole of boxes) {
        const b = inside(whole);
        if (b.left >= b.right || b.top >= b.bottom) continue;
        const crosses = at.some(([x, y], i) => {
          if (i === 0) return false;
          const [x0, y0] = at[i - 1];
          let from = 0, to = 1;
          for (const [p, along, low, high] of [[x0, x - x0, b.left, b.right], [y0, y - y0, b.top, b.bottom]]) {
            if (along === 0) {
              if (p < low || p > high) return false;
              continue;
            }
            from = Math.max(from, Math.min((low - p) / along, (high - p) / along));
            to = Math.min(to, Math.max((low - p) / along, (high - p) / along));
          }
          return from <= to;
        });
        if (crosses) tell(whole, 'a line');
      }
    }
  }
  return found.slice(0, 10);
}

/// What must not stand last on a printed page: title, headings, captions and heads of tables, with the size of their letters.
export function heads() {
  return [...document.querySelectorAll('h1, h2, h3, h4, caption, thead')].map((e) => ({
    words: [...(e.matches('thead') ? e.querySelectorAll('th') : [e])].map((part) => part.textContent.trim()).join(' '),
    px: parseFloat(getComputedStyle(e).fontSize),
    is_row: e.matches('thead'),
  }));
}
