const LONGEST_NAME = 40

/**
 * A name for a batch that can be read, typed and used as a file name: the local day of its start and the beer,
 * `2026-12-04-amber-ale`; the second one of that day ends in `-2`.
 */
export function batchId(
  start_ms: number,
  localOffset_s: number,
  beer: string,
  isTaken: (id: string) => boolean,
) {
  const day = new Date(start_ms + localOffset_s * 1000).toISOString().slice(0, 10)
  const plain = `${day}-${slugOf(beer)}`
  let id = plain
  for (let number = 2; isTaken(id); number++) id = `${plain}-${number}`
  return id
}

function slugOf(name: string): string {
  const slug = name
    .normalize('NFKD')
    .replace(/\p{Mark}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, LONGEST_NAME)
    .replace(/^-+|-+$/g, '')
  return slug === '' ? 'batch' : slug
}
