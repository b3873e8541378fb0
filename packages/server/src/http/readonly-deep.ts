/** The same data, of which nothing may be changed: what goes out of a route, and what whoever fetched it holds. */
export type ReadonlyDeep<T> = T extends object ? { readonly [K in keyof T]: ReadonlyDeep<T[K]> } : T
