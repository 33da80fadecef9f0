import type { z } from 'zod';
import { findJsonFault } from './json-syntax.ts';

/**
 * Where text that JSON.parse has refused breaks the grammar, in one line.
 * @param wanted what the file should be, e.g. "a scene"
 */
export function syntaxMessage(text: string, wanted: string): string {
  if (text.trim() === '') return `line 1:1: expected ${wanted}, but the file is empty`;
  const fault = findJsonFault(text);
  if (fault === null) return 'this file is too deep or too large to be read as JSON';
  return `line ${fault.line}:${fault.column}: expected ${fault.expected}, found ${fault.found}`;
}

type Path = readonly PropertyKey[];

/** A place in a file: `figures[0].body.mass`. */
export function pathText(path: Path): string {
  let text = '';
  for (const step of path) {
    if (typeof step === 'number') text += `[${step}]`;
    else text += text === '' ? String(step) : `.${String(step)}`;
  }
  return text;
}

function valueAt(data: unknown, path: Path): unknown {
  return path.reduce<unknown>(
    (value, step) =>
      typeof value === 'object' && value !== null
        ? (value as Record<PropertyKey, unknown>)[step]
        : undefined,
    data,
  );
}

const MAX_TOLD = 60;

/** A value from a file, short enough for a line. */
export function told(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value === 'object' && value !== null) return 'an object';
  // JSON has no word for what a number too large becomes.
  const text = typeof value === 'number' ? String(value) : JSON.stringify(value);
  return text.length > MAX_TOLD ? `${text.slice(0, MAX_TOLD)}...` : text;
}

const KINDS: Readonly<Record<string, string>> = {
  number: 'a number',
  int: 'a whole number',
  string: 'text in double quotes',
  boolean: 'true or false',
  object: 'an object { ... }',
  record: 'an object { ... }',
  array: 'a list [ ... ]',
  tuple: 'a list of numbers [ ... ]',
};

function expectation(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KINDS[issue.expected] ?? issue.expected;
    case 'too_small':
      if (issue.origin === 'array') return `a list of ${issue.minimum}`;
      return `a number ${issue.inclusive ? 'of at least' : 'above'} ${issue.minimum}`;
    case 'too_big':
      if (issue.origin === 'array') return `a list of ${issue.maximum}`;
      return `a number of at most ${issue.maximum}`;
    case 'invalid_value':
      return oneOf(issue.values.map(String));
    case 'invalid_union':
      return oneOf(((issue as { options?: unknown[] }).options ?? []).map(String));
    case 'invalid_format':
      return '1 to 64 characters without "/"';
    default:
      return issue.message.replace(/^expected /, '');
  }
}

const oneOf = (choices: readonly string[]): string =>
  choices.length === 1 ? `${choices[0]}` : `one of ${choices.join(', ')}`;

/**
 * What a schema found wrong: the place, what was expected there, and what is there.
 * @param whole what the file is called where the place is the file itself
 */
export function issueMessage(issue: z.core.$ZodIssue, data: unknown, whole: string): string {
  if (issue.code === 'unrecognized_keys') {
    const where = pathText(issue.path);
    const names = issue.keys.map((key) => `"${key}"`).join(', ');
    return `${where === '' ? whole : where}: ${names} is not a field here; take it out or mend its spelling`;
  }
  const got = valueAt(data, issue.path);
  return `${issue.path.length === 0 ? whole : pathText(issue.path)}: expected ${expectation(issue)}, got ${told(got)}`;
}
