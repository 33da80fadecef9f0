// Half a frame at 60 a second; the other half is the browser's.
const BUDGET_MS = 8;

const waiting = new Map<object, () => void>();
let scheduled = false;

/**
 * Runs a drawing soon, a few per animation frame, so that a board that is scrolled through stays
 * quick. A second request of the same owner takes the place of the first.
 */
export function drawLater(owner: object, draw: () => void): void {
  waiting.set(owner, draw);
  if (scheduled) return;
  scheduled = true;
  requestAnimationFrame(drawSome);
}

function drawSome(): void {
  const start = performance.now();
  for (const [owner, draw] of waiting) {
    waiting.delete(owner);
    draw();
    if (performance.now() - start > BUDGET_MS) break;
  }
  scheduled = waiting.size > 0;
  if (scheduled) requestAnimationFrame(drawSome);
}
