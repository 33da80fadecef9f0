type Place = readonly [x: number, y: number];

/** A head of 9 pixels at the end of a line, as an SVG path; none on a line that is shorter. */
export function arrowHead(from: Place, to: Place): string {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  if (length < 9) return '';
  const [x, y] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
  const wing = (side: 1 | -1): string =>
    `${to[0] - 9 * x - side * 4 * y} ${to[1] - 9 * y + side * 4 * x}`;
  return `M${wing(1)}L${to[0]} ${to[1]}L${wing(-1)}`;
}
