import { TABLES, type TableName } from '../../core/body/index.ts';
import { asOneOf } from '../../core/document/index.ts';

/** A segment table by name as stored; one that this page does not know becomes the first. */
export const asTable = (name: string): TableName => asOneOf(name, TABLES) ?? TABLES[0];
