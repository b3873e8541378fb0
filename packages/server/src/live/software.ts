/** Who the journal names for what the software does to a batch by itself. */
export const SOFTWARE = 'attemper'
