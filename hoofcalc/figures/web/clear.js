// Where words find room: beside boxes and lines that are taken.

function shifted({ left, right, top, bottom }, across, down) {
  return { left: left + across, right: right + across, top: top + down, bottom: bottom + down };
}

// Whether a box lies on one that is taken, or a line runs through it.
function lies(box, { boxes, lines: taken }) {
  const on = (other) =>
    box.left < other.right - 1 && box.right > other.left + 1 && box.top < other.bottom - 1 && box.bottom > other.top + 1;
  return boxes.some(on) || taken.some(({ line, half }) => {
    const wide = { left: box.left - half, right: box.right + half, top: box.top - half, bottom: box.bottom + half };
    return line.some((point, n) => n > 0 && crosses(wide, line[n - 1], point));
  });
}

// Whether the straight way between two points enters a box (after Liang and Barsky).
function crosses({ left, right, top, bottom }, [x0, y0], [x1, y1]) {
  let [from, to] = [0, 1];
  for (const [way, least, most] of [[x1 - x0, left - x0, right - x0], [y1 - y0, top - y0, bottom - y0]]) {
    if (way === 0 && least <= 0 && most >= 0) continue;
    from = Math.max(from, Math.min(least / way, most / way));
    to = Math.min(to, Math.max(least / way, most / way));
  }
  return from < to; // false where a number is missing, and beside a line along the other axis
}

// The shortest way to where a box lies clear, up and down rather than sideways; if there is no such
// place within reach, to where it lies on a line at most.
const WAYS = [];
for (let right = -72; right <= 72; right += 4) for (let down = -72; down <= 72; down += 4) WAYS.push([right, down]);
WAYS.sort((a, b) => Math.hypot(1.3 * a[0], a[1]) - Math.hypot(1.3 * b[0], b[1]));
function clear(box, { width, height, taken }, reach, downOnly = false) {
  const free = (what, least) => ([right, down]) => {
    if (Math.hypot(right, down) > reach || down < least) return false;
    const there = shifted(box, right, down);
    const inside = there.left >= 0 && there.right <= width && there.top >= 0 && there.bottom <= height;
    return inside && !lies(there, what);
  };
  const inOrder = [[taken, downOnly ? 0 : -reach], [taken, -reach], [{ ...taken, lines: [] }, -reach]];
  for (const [what, least] of inOrder) {
    const way = WAYS.find(free(what, least));
    if (way) return way;
  }
  return [0, 0];
}
