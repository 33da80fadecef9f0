/**
 * A list as the server keeps it, beside what was added here while it was on its way: that stays as it is
 * here, for what is told once (an address, a token) is not told again.
 */
export const withKept = <T extends { readonly id: string }>(
  here: readonly T[],
  kept: readonly T[],
): readonly T[] => [...here, ...kept.filter(({ id }) => !here.some((one) => one.id === id))];
