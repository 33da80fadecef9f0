import type { Scene } from '../scene/types.ts';
import { pinLabel } from './pin-words.ts';
import type { Pin } from './pins.ts';
import type { By, NoteRecord, ReviewRecord, ShotRecord } from './review-record.ts';

/**
 * Notes as W3C Web Annotations (Web Annotation Data Model, W3C Recommendation 23 February 2017): an
 * AnnotationCollection with one page of everything. A note is an annotation of its draft with the
 * motivation `commenting`, a reply one of its note with `replying`; weight and state are bodies with
 * the purpose `tagging` (section 3.3.5).
 */
export interface AnnotationCollection {
  readonly '@context': 'http://www.w3.org/ns/anno.jsonld';
  readonly id: string;
  readonly type: 'AnnotationCollection';
  readonly label: string;
  readonly total: number;
  readonly first: {
    readonly id: string;
    readonly type: 'AnnotationPage';
    readonly startIndex: 0;
    readonly items: readonly Annotation[];
  };
}

type Body = {
  readonly type: 'TextualBody';
  readonly value: string;
  readonly format: 'text/plain';
  readonly purpose: 'commenting' | 'tagging' | 'replying';
};

export interface Annotation {
  readonly id: string;
  readonly type: 'Annotation';
  readonly motivation: 'commenting' | 'replying';
  readonly created?: string;
  readonly creator?: { readonly id: string; readonly type: 'Person'; readonly name: string };
  readonly body: readonly Body[];
  readonly target: string | Target;
}

interface Target {
  readonly type: 'SpecificResource';
  readonly source: string;
  readonly selector?: { readonly type: 'FragmentSelector'; readonly value: string };
  readonly scope?: string;
}

export interface AnnotationSettings {
  /** Address of the review's page, without a slash at the end. */
  readonly address: string;
  readonly sceneOf: (draft: string) => Scene;
}

/** All notes and replies of a review. */
export function annotationsOf(
  review: Pick<ReviewRecord, 'title' | 'shots'>,
  settings: AnnotationSettings,
): AnnotationCollection {
  const items = review.shots.flatMap((shot) =>
    shot.notes.flatMap((note) => [noteOf(note, shot, settings), ...repliesOf(note, settings)]),
  );
  const id = `${settings.address}/annotations`;
  return {
    '@context': 'http://www.w3.org/ns/anno.jsonld',
    ...{ id, type: 'AnnotationCollection', label: `Notes of ${review.title}`, total: items.length },
    first: { id: `${id}/all`, type: 'AnnotationPage', startIndex: 0, items },
  };
}

const textBody = (value: string, purpose: Body['purpose']): Body => ({
  ...{ type: 'TextualBody', value, format: 'text/plain', purpose },
});

const noteAddress = (id: string, { address }: AnnotationSettings): string =>
  `${address}/notes/${encodeURIComponent(id)}`;

const authored = ({ by, name, at }: By, { address }: AnnotationSettings) => ({
  ...(at === null ? {} : { created: at }),
  ...(by === null
    ? {}
    : {
        creator: {
          id: `${address}/people/${encodeURIComponent(by)}`,
          type: 'Person' as const,
          name,
        },
      }),
});

function noteOf(note: NoteRecord, shot: ShotRecord, settings: AnnotationSettings): Annotation {
  const page = `${settings.address}/shot/${encodeURIComponent(shot.id)}`;
  const query = queryOf([
    ['draft', note.draft],
    ...(note.frame === null ? [] : ([['frame', String(note.frame)]] as const)),
  ]);
  const fragment = fragmentOf(note.pin);
  const about = pinLabel(settings.sceneOf(note.draft), note.pin);
  return {
    ...{ id: noteAddress(note.id, settings), type: 'Annotation', motivation: 'commenting' },
    ...authored(note, settings),
    body: [
      textBody(note.text, 'commenting'),
      ...[note.weight, note.state, about].map((tag) => textBody(tag, 'tagging')),
    ],
    target: {
      type: 'SpecificResource',
      source: `${page}?${query}`,
      scope: page,
      ...(fragment === null ? {} : { selector: { type: 'FragmentSelector', value: fragment } }),
    },
  };
}

const repliesOf = (note: NoteRecord, settings: AnnotationSettings): Annotation[] =>
  note.replies.map((reply) => ({
    ...{ id: noteAddress(reply.id, settings), type: 'Annotation', motivation: 'replying' },
    ...authored(reply, settings),
    body: [textBody(reply.text, 'replying')],
    target: noteAddress(note.id, settings),
  }));

/** What a pin points at, as `kind=…&field=…`; null for the whole shot. */
function fragmentOf(pin: Pin): string | null {
  if (pin.kind === 'shot') return null;
  return queryOf(
    Object.entries(pin).map(([name, value]) => [
      name,
      Array.isArray(value) ? value.join(',') : String(value),
    ]),
  );
}

/** Pairs as a query; core has no URLSearchParams. */
const queryOf = (pairs: readonly (readonly [string, string])[]): string =>
  pairs.map((pair) => pair.map(encodeURIComponent).join('=')).join('&');
