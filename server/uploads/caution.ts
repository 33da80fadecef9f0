/** Said wherever a picture or a recording comes in. */
export const CAUTION =
  'For drawn and animated figures only. Keep no picture or recording of real people here without ' +
  'their consent; nothing here is a safety assessment of real people.';
