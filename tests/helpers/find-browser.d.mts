export const HOW_TO_GET_A_BROWSER: string;
/** The path of an executable browser, or null. */
export function findBrowser(): string | null;
