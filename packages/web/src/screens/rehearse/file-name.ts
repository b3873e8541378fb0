import type { Part } from '../../rehearsing/case.svelte.ts'

const LONGEST = 60

/** "Amber ale with a warm finish" as the name of a file: `amber-ale-with-a-warm-finish.plan.yaml`. */
export function fileNameOf(name: string, part: Part): string {
  const plain = name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .slice(0, LONGEST)
    .replace(/^-|-$/g, '')
  return `${plain === '' ? 'rehearsal' : plain}.${part}.yaml`
}
