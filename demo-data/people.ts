import type { DemoNote, DemoPerson, DemoReply } from './types.ts';

/** The invented team of the demo review. */
export const PEOPLE = {
  tove: { id: 'demo-tove', name: 'Tove Askrin', role: 'lead', ink: 0 },
  bram: { id: 'demo-bram', name: 'Bram Okellan', role: 'animator', ink: 3 },
  lio: { id: 'demo-lio', name: 'Lio Ferrand', role: 'animator', ink: 5 },
  nadja: { id: 'demo-nadja', name: 'Nadja Quillon', role: 'reviewer', ink: 8 },
  pell: { id: 'demo-pell', name: 'Pell Marrowe', role: 'reviewer', ink: 10 },
} as const satisfies Record<string, DemoPerson>;

export type PersonKey = keyof typeof PEOPLE;

/** An answer to a note. */
export const reply = (by: PersonKey, text: string): DemoReply => ({ by: PEOPLE[by].id, text });

/** A note in one line; it is open and a "should" on the whole pose unless said otherwise. */
export const note = (
  by: PersonKey,
  pin: DemoNote['pin'],
  text: string,
  rest: Partial<Omit<DemoNote, 'by' | 'pin' | 'text'>> = {},
): DemoNote => ({
  by: PEOPLE[by].id,
  pin,
  text,
  frame: null,
  weight: 'should',
  state: 'open',
  replies: [],
  ...rest,
});
