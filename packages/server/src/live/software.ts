/** Who the journal names for what the software does to a batch by itself. */
export const SOFTWARE = 'attemper'
/** Who the journal names for an original gravity that nobody has entered. */
export const THE_FLOAT = 'the float'
