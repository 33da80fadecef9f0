import { type Body, type Extra, tipIn, turnToHold } from '../../core/body/index.ts';
import { extraTurnField, figureKey } from '../../core/document/index.ts';
import { conjugate, rotate, subtract, type Vec3 } from '../../core/geometry/index.ts';
import { type Pose, poseFigure } from '../../core/pose/index.ts';
import type { Shown } from './shown.ts';

/** Tails that stay where they rest while their figures move: they turn and curl, no hips are held by them. */

interface RestingTail {
  readonly figure: string;
  readonly body: Body;
  readonly tail: Extra;
  /** World, metres. */
  readonly tip: Vec3;
}

/** The tails whose tips rest on something. */
export const restingTails = ({ posed, report }: Shown): RestingTail[] =>
  report.contacts
    .filter(({ patch }) => patch === 'tailTip')
    .flatMap(({ owner }) => {
      const figure = posed.get(owner);
      const tail = figure?.body.extras.find(({ kind }) => kind === 'tail');
      if (figure === undefined || tail === undefined) return [];
      return [{ figure: owner, body: figure.body, tail, tip: tipIn(figure.segments, tail) }];
    });

/** The entries with which a tail's tip stays in its place as far as the tail reaches; none in the same pose. */
export function tailEntries(
  { figure, body, tail, tip }: RestingTail,
  pose: Pose | undefined,
): Readonly<Record<string, unknown>> {
  if (pose === undefined) return {};
  const { position, rotation } = poseFigure(body, pose).segments[tail.parent];
  const back = conjugate(rotation);
  const turned = turnToHold(
    body,
    tail.id,
    rotate(back, subtract(tip, position)),
    rotate(back, [0, 1, 0]),
  );
  return { [figureKey(figure, extraTurnField(tail.id))]: turned };
}
