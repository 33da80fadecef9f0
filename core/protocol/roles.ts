/** People's rights in a review, weakest first. */
export const ROLES = ['guest', 'reviewer', 'animator', 'lead'] as const;
export type Role = (typeof ROLES)[number];

/** The documents of a review. `record` is written by the server alone. */
export const DOCUMENTS = ['scenes', 'notes', 'record'] as const;
export type DocumentName = (typeof DOCUMENTS)[number];

/** Whether a role may write a document. Everyone in a review may read all three. */
export function mayWrite(role: Role, document: DocumentName): boolean {
  if (document === 'scenes') return role === 'animator' || role === 'lead';
  if (document === 'notes') return role !== 'guest';
  return false;
}
