export { type BadgeGlyph, badgeGlyph, type GlyphPath } from './badge.ts';
export { type CardOptions, drawCard, tellingView } from './card.ts';
export {
  type DrawOptions,
  drawScene,
  projectionOf,
  roomOf,
  sceneExtent,
  spokenReport,
} from './draw-scene.ts';
export { WING, wingBreadth } from './extra-parts.ts';
export {
  arrowShape,
  type ForceArrow,
  type ForceLabel,
  forceArrows,
  forceLabels,
} from './forces.ts';
export { colourOf, type Ink, type Theme, verdictInk } from './ink.ts';
export {
  centimetres,
  centreText,
  MINUS,
  marginShort,
  percent,
  readingMargin,
  supportText,
  VERDICT_WORDS,
} from './reading-words.ts';
export { marginText } from './readings.ts';
export { type Sight, silhouette } from './silhouette.ts';
export { drawStrip, type StripFrame, type StripOptions, stripOf } from './strip.ts';
export type { Extent, PagePoint, Projection, ViewName } from './view.ts';
