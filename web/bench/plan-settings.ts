import { PATCHES, type PatchName } from '../../core/body/index.ts';
import { applyTransform, type Vec2 } from '../../core/geometry/index.ts';
import type { Figure } from '../../core/scene/index.ts';
import type { PagePoint } from './plan-drawing.ts';
import { around, type Box, bestPlace, boxRound, overlap, type SheetSize } from './plan-places.ts';
import type { Shown } from './shown.ts';

/** A setting that somebody chose, and what its word takes of the plan, pixels. */
export interface SettingWord {
  readonly place: Box;
  readonly word: string;
}

/** Width of the longest of these words, pixels. */
const WIDE = 60;

const isFoot = (patch: PatchName): boolean => /^(sole|toes)/.test(patch);

/**
 * A word on each foot whose setting is not left to the distance, and on what else is planted: over its
 * patch, and beside it where a line lands there or another word stands.
 * @param lines what plumb lines, their points and the numbers of margins take
 */
export function settingWords(
  { posed, report }: Shown,
  figure: Figure,
  at: (point: Vec2) => PagePoint,
  lines: readonly Box[],
  sheet: SheetSize,
): readonly SettingWord[] {
  const mine = posed.get(figure.id);
  if (mine === undefined) return [];
  const told = PATCHES.filter((name) => {
    if (mine.body.patches[name].outline.length === 0) return false;
    const setting = figure.contacts[name] ?? 'auto';
    return (
      setting === 'planted' || setting === 'gripping' || (setting === 'lifted' && isFoot(name))
    );
  });
  const boxOf = (name: PatchName): Box => {
    const { segment, outline } = mine.body.patches[name];
    const world = outline.map((point) => applyTransform(mine.segments[segment], point));
    return boxRound(world.map(([x, , z]) => at([x, z])));
  };
  const touching = report.contacts.flatMap(({ owner, outline }) =>
    owner === figure.id ? [boxRound(outline.map(([x, , z]) => at([x, z])))] : [],
  );
  const words: Box[] = [];
  return told.map((name) => {
    const box = boxOf(name);
    const over = around((box.left + box.right) / 2, (box.top + box.bottom) / 2);
    const taken = [...lines, ...words];
    const place = taken.some((other) => overlap(over, other) > 0)
      ? bestPlace(box, [...taken, ...touching], sheet, WIDE)
      : over;
    words.push(place);
    return { place, word: figure.contacts[name] ?? 'auto' };
  });
}
