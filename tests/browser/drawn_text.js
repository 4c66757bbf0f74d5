// Letters of the page's own drawings that are too small to read or run into each other: what is
// wrong with each, in words. `least` is the smallest size of letters [CSS pixels].
(least) => {
  const found = [];
  for (const drawing of document.querySelectorAll("svg.drawing")) {
    const texts = [...drawing.querySelectorAll("text")].filter((one) => one.textContent.trim() && one.checkVisibility());
    const seen = texts.map((one) => {
      const { a, b } = one.getScreenCTM();
      const size = parseFloat(getComputedStyle(one).fontSize) * Math.hypot(a, b);
      if (size < least - 0.05) found.push(`${one.textContent.trim()}: ${size.toFixed(1)} px`);
      return { name: one.textContent.trim(), box: one.getBoundingClientRect() };
    });
    const frame = drawing.getBoundingClientRect();
    for (const [at, { name, box }] of seen.entries()) {
      if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 || box.bottom > frame.bottom + 1)
        found.push(`${name}: cut off`);
      for (const other of seen.slice(at + 1)) {
        const wide = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
        const high = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
        // Boxes of letters have room above and below that is not drawn on.
        if (wide > 1 && high > 4) found.push(`${name} over ${other.name}`);
      }
    }
  }
  return found;
}
