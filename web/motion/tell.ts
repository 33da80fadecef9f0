import type { Note } from '../../core/document/index.ts';
import { tellTiming } from '../../core/motion/index.ts';
import { centimetres } from '../badge/words.ts';
import type { MotionFrame, WholeClip } from './protocol.ts';

/** Frames that a note speaks of, as the shot counts; null where it speaks of none. */
export function frameNumbers({ pin, frame }: Note): readonly [number, number] | null {
  if (pin.kind === 'frames') return [pin.from, pin.to];
  return frame === null ? null : [frame, frame];
}

const MINUS = '\u2212';
const signed = (metres: number): string => `${metres < 0 ? MINUS : '+'}${centimetres(metres)}`;

/** The numbers of a frame: margins at rest and in motion, speed, where the pressure has to be. */
export function sayFrame(frame: MotionFrame): string {
  const { margin, stability, speed, needed, has, pressureMargin, topplesIn } = frame;
  const said: string[] = [];
  if (margin !== null) said.push(`margin ${signed(margin)} at rest`);
  if (stability !== null) said.push(`${signed(stability)} in motion`);
  if (speed !== null) said.push(`${speed.toFixed(2)} m/s`);
  if (needed !== null && has !== null && needed > 0.005)
    said.push(`needs ${needed.toFixed(2)} m/s, has ${has.toFixed(2)}`);
  if (pressureMargin !== null && pressureMargin < 0)
    said.push(`pressure ${centimetres(pressureMargin)} outside the support`);
  if (topplesIn !== null) said.push(`over in ${topplesIn.toFixed(2)} s`);
  return said.join(', ');
}

/** What is said of a clip as a whole; frames as the shot counts. */
export function wholeSentences(whole: WholeClip, frameCount: number, first: number): string[] {
  const { stopsFrom, slowest, rises, sentences, atRest } = whole;
  const timing = {
    frameCount,
    stopsFrom: stopsFrom === null || stopsFrom === 0 ? stopsFrom : stopsFrom + first,
    ...(slowest === undefined ? {} : { slowest }),
  };
  return [
    ...(atRest ? [] : tellTiming(timing)),
    ...rises.map(({ frame, sentence }) => `Frame ${frame + first}: ${sentence}`),
    ...sentences,
  ];
}
