import { Ajv2020 } from 'ajv/dist/2020.js';
import addFormats from 'ajv-formats';
import jsonld from 'jsonld';
import { describe, expect, it } from 'vitest';
import { annotationsOf, gatherReview, readScene } from '../../../core/document/index.ts';
import { toldReview } from '../../helpers/told-review.ts';

const OA = 'http://www.w3.org/ns/oa#';
const AS = 'http://www.w3.org/ns/activitystreams#';
const id = (iri: string) => ({ '@id': iri, '@type': '@id' });
const word = (iri: string) => ({ '@id': iri, '@type': '@vocab' });
const number = (iri: string) => ({
  '@id': iri,
  '@type': 'http://www.w3.org/2001/XMLSchema#nonNegativeInteger',
});

/**
 * The terms of the model that occur here, written from the Web Annotation Vocabulary (W3C
 * Recommendation, 23 February 2017), appendix A: a test fetches nothing.
 */
const CONTEXT = {
  '@context': {
    ...{ id: '@id', type: '@type' },
    ...{ Annotation: `${OA}Annotation`, TextualBody: `${OA}TextualBody` },
    ...{ SpecificResource: `${OA}SpecificResource`, FragmentSelector: `${OA}FragmentSelector` },
    ...{ AnnotationCollection: `${AS}OrderedCollection` },
    ...{ AnnotationPage: `${AS}OrderedCollectionPage`, Person: 'http://xmlns.com/foaf/0.1/Person' },
    ...{ commenting: `${OA}commenting`, replying: `${OA}replying`, tagging: `${OA}tagging` },
    ...{ body: id(`${OA}hasBody`), target: id(`${OA}hasTarget`), source: id(`${OA}hasSource`) },
    ...{ selector: id(`${OA}hasSelector`), scope: id(`${OA}hasScope`) },
    creator: id('http://purl.org/dc/terms/creator'),
    first: id(`${AS}first`),
    items: { ...id(`${AS}items`), '@container': '@list' },
    ...{ motivation: word(`${OA}motivatedBy`), purpose: word(`${OA}hasPurpose`) },
    ...{ total: number(`${AS}totalItems`), startIndex: number(`${AS}startIndex`) },
    format: 'http://purl.org/dc/elements/1.1/format',
    value: 'http://www.w3.org/1999/02/22-rdf-syntax-ns#value',
    name: 'http://xmlns.com/foaf/0.1/name',
    label: 'http://www.w3.org/2000/01/rdf-schema#label',
    created: {
      '@id': 'http://purl.org/dc/terms/created',
      '@type': 'http://www.w3.org/2001/XMLSchema#dateTime',
    },
  },
};

/**
 * What the Web Annotation Data Model (W3C Recommendation, 23 February 2017) asks with MUST, written
 * from its text: sections 3.1 (annotations), 3.2.4 (embedded textual body), 3.3.2 (agents), 3.3.5
 * (motivation), 4 (specific resources), 4.2.1 (fragment selector), 5.1 and 5.2 (collection, page).
 */
const iri = { type: 'string', format: 'uri' };
const SCHEMA = {
  $schema: 'https://json-schema.org/draft/2020-12/schema',
  type: 'object',
  required: ['@context', 'id', 'type', 'first', 'total'],
  properties: {
    '@context': { const: 'http://www.w3.org/ns/anno.jsonld' },
    id: iri,
    type: { const: 'AnnotationCollection' },
    label: { type: 'string' },
    total: { type: 'integer', minimum: 0 },
    first: {
      type: 'object',
      required: ['id', 'type', 'items'],
      properties: {
        id: iri,
        type: { const: 'AnnotationPage' },
        startIndex: { type: 'integer', minimum: 0 },
        items: { type: 'array', items: { $ref: '#/$defs/annotation' } },
      },
    },
  },
  $defs: {
    annotation: {
      type: 'object',
      required: ['id', 'type', 'target'],
      properties: {
        id: iri,
        type: { const: 'Annotation' },
        motivation: { enum: ['commenting', 'replying', 'tagging'] },
        created: { type: 'string', format: 'date-time', pattern: 'Z$' },
        creator: {
          type: 'object',
          required: ['id', 'type', 'name'],
          properties: { id: iri, type: { const: 'Person' }, name: { type: 'string' } },
        },
        body: { type: 'array', items: { $ref: '#/$defs/textualBody' }, minItems: 1 },
        target: { oneOf: [iri, { $ref: '#/$defs/specificResource' }] },
      },
      additionalProperties: false,
    },
    textualBody: {
      type: 'object',
      required: ['type', 'value'],
      properties: {
        type: { const: 'TextualBody' },
        value: { type: 'string' },
        format: { type: 'string', pattern: '^[a-z]+/[a-z0-9.+-]+$' },
        purpose: { enum: ['commenting', 'replying', 'tagging'] },
      },
      additionalProperties: false,
    },
    specificResource: {
      type: 'object',
      required: ['source'],
      properties: {
        type: { const: 'SpecificResource' },
        source: iri,
        scope: iri,
        selector: {
          type: 'object',
          required: ['type', 'value'],
          properties: { type: { const: 'FragmentSelector' }, value: { type: 'string' } },
        },
      },
      additionalProperties: false,
    },
  },
};

const notes = () => {
  const docs = toldReview();
  return annotationsOf(gatherReview(docs), {
    address: 'https://review.example.org/r/night',
    sceneOf: (draft) => readScene(docs.scenes, draft),
  });
};

describe('notes as web annotations', () => {
  it('fit the model of the recommendation', () => {
    const ajv = new Ajv2020({ strict: true, allErrors: true, strictRequired: false });
    addFormats.default(ajv);
    const check = ajv.compile(SCHEMA);
    check(notes());
    expect(check.errors ?? []).toEqual([]);
    // The check can fail: a motivation that the model does not know, a target that is none.
    const broken = JSON.parse(JSON.stringify(notes()));
    broken.first.items[0].motivation = 'grumbling';
    broken.first.items[1].target = 'the hand';
    expect(check(broken)).toBe(false);
  });

  it('mean what they say once JSON-LD is expanded', async () => {
    const nodes = await jsonld.flatten(notes(), null, {
      documentLoader: async (url) => {
        if (url !== 'http://www.w3.org/ns/anno.jsonld') throw new Error(`not asked for: ${url}`);
        return { documentUrl: url, document: CONTEXT };
      },
      // A term that the context does not know is an error here, not silently dropped.
      safe: true,
    });
    const nodeOf = (iri: string) => nodes.find((node) => node['@id'] === iri);
    const note = nodeOf('https://review.example.org/r/night/notes/n1');
    const reply = nodeOf('https://review.example.org/r/night/notes/r1');
    const target = nodes.find((node) => `${OA}hasSource` in node);
    expect(note).toMatchObject({
      '@type': [`${OA}Annotation`],
      [`${OA}motivatedBy`]: [{ '@id': `${OA}commenting` }],
      'http://purl.org/dc/terms/creator': [
        { '@id': 'https://review.example.org/r/night/people/ada' },
      ],
    });
    expect(target).toMatchObject({
      '@type': [`${OA}SpecificResource`],
      [`${OA}hasSource`]: [
        { '@id': 'https://review.example.org/r/night/shot/s1?draft=s1-1&frame=12' },
      ],
    });
    expect(reply).toMatchObject({
      [`${OA}motivatedBy`]: [{ '@id': `${OA}replying` }],
      [`${OA}hasTarget`]: [{ '@id': 'https://review.example.org/r/night/notes/n1' }],
    });
  });
});
