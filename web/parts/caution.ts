/** Said wherever a picture or a recording comes in. */
export const PICTURE_CAUTION =
  'For drawn and animated figures only. Keep no picture or recording of real people here without their ' +
  'consent; nothing here is a safety assessment of real people, and local codes and licensed practice decide.';
