/**
 * A name as it stands where spaces can not: in a topic, an address or a SenML name. "Garage fridge" is garage-fridge.
 */
export function slugOf(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}._:]+/gu, '-')
    .replace(/^-+|-+$/g, '')
}

export function sameName(a: string, b: string): boolean {
  return a === b || slugOf(a) === slugOf(b)
}
