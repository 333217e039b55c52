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
