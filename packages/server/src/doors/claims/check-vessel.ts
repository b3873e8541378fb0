import type { Finding } from '@attemper/core/finding.ts'
import type { Place } from '@attemper/core/place.ts'
import { readYaml } from '@attemper/core/source-text/read-yaml.ts'
import { startReading } from '@attemper/core/source-text/reading.ts'
import { normalKey } from '@attemper/core/source-text/record.ts'
import type { SourceNode } from '@attemper/core/source-text/source-node.ts'
import { actingIn } from '@attemper/core/units/plain-text.ts'
import { readVessel } from '@attemper/core/vessel/read-vessel.ts'
import type { Vessel } from '@attemper/core/vessel/vessel.ts'
import type { VesselRecord } from '../../store/store.ts'
import { readDoorSettings } from '../door-settings.ts'
import { slugOf } from '../slug.ts'
import type { Claim } from './claim.ts'
import { type Clash, claimant, claimantOf, clashesBetween, clashesWithin } from './clashes.ts'

/** Names that topics have another meaning for. */
const RESERVED = ['appliance', 'refused']

/**
 * What the cellar has to say about a vessel and its doors beyond what the reader of the vessel file says: faults of the
 * doors, names that topics can not carry, and what this or another vessel has already. `file` of a finding is 'vessel' or
 * 'doors'. `others`: the vessels of the cellar; one of the same name is the one that is replaced.
 */
export function checkVessel(
  text: string,
  doors: string,
  others: readonly VesselRecord[],
): readonly Finding[] {
  const { vessel } = readVessel(text, 'vessel')
  const { settings, findings } = readDoorSettings(doors, 'doors', vessel)
  if (vessel === null) return findings
  const texts = { vessel: text, doors }
  const own = claimant(vessel.name, vessel, settings)
  const clashes = [
    ...clashesWithin(own),
    ...others
      .filter(({ name }) => name !== vessel.name)
      .flatMap(other => clashesBetween(claimantOf(other), own)),
  ]
  return [...findings, ...faultsOfNames(vessel, text), ...clashes.map(clash => findingOf(clash, texts))]
}

/** A name as it stands in topics: neither empty there, nor a word of the cellar's own. */
function faultsOfNames(vessel: Vessel, text: string): readonly Finding[] {
  const places = placesIn(text)
  const fault = (path: Claim['path'], message: string, cure: string): Finding => ({
    severity: 'error',
    code: 'bad-name',
    file: 'vessel',
    ...places(path),
    message,
    cure,
  })
  const named: readonly (readonly [string, Claim['path']])[] = [
    [vessel.name, ['vessel']],
    ...vessel.instruments.map(({ name }, at) => [name, ['instruments', at, 'instrument']] as const),
  ]
  const empty = named
    .filter(([name]) => !/[\p{L}\p{N}]/u.test(slugOf(name)))
    .map(([name, path]) =>
      fault(
        path,
        `“${name}” has no letter and no digit, so no topic can name it.`,
        'Write a name with letters.',
      ),
    )
  const reserved = named
    .slice(1)
    .filter(([name]) => RESERVED.includes(slugOf(name)))
    .map(([name, path]) =>
      fault(
        path,
        `“${name}” can not be the name of an instrument: in topics the cellar itself speaks under it.`,
        `Write another, for example “${name} probe”.`,
      ),
    )
  const acting = named.flatMap(([name, path]) => {
    const found = actingIn(name)
    if (found === null) return []
    const message = `Here stands a character that can not be seen (${found}).`
    return [fault(path, message, 'Write it anew, with letters, digits and signs only.')]
  })
  return [...empty, ...reserved, ...acting]
}

function findingOf(clash: Clash, texts: Readonly<Record<Claim['file'], string>>): Finding {
  const [, claim] = clash.claims
  return {
    severity: clash.isHarmful ? 'error' : 'warning',
    code: 'used-twice',
    file: claim.file,
    ...placesIn(texts[claim.file])(claim.path),
    message: sayClash(clash),
    cure: cureOf(clash),
  }
}

/** What is used twice, as a sentence. */
export function sayClash({ vessels: [one, other], claims: [first, second] }: Clash): string {
  const isWithin = one === other
  switch (second.kind) {
    case 'vessel name':
      return `“${second.by}” and “${first.by}” are the same name in topics and addresses (${slugOf(second.by)}): commands and readings of one would reach the other.`
    case 'instrument name':
      return second.file === 'doors'
        ? `“${second.by}” and “${first.by}” are the same instrument, and would be read from two places.`
        : `“${second.by}” and “${first.by}” are the same name in topics and addresses (${slugOf(second.by)}): readings of one would be taken for the other’s.`
    default: {
      const before = isWithin ? first.by : `${first.by} of ${one}`
      return `${capital(second.thing)} belongs to ${before} already; ${second.by}${isWithin ? '' : ` of ${other}`} can not have it too.`
    }
  }
}

function cureOf({ claims: [first, second], isHarmful }: Clash): string {
  switch (second.kind) {
    case 'vessel name':
      return `Write another name, or remove “${first.by}” first.`
    case 'instrument name':
      return second.file === 'doors' ? 'Leave one of the two out.' : 'Write another name.'
    case 'appliance':
      return 'Give each appliance a line, a coil, a register or an address of its own.'
    case 'instrument':
      return isHarmful
        ? 'Give each instrument a probe of its own.'
        : 'This is right if both vessels stand in the same air; otherwise give each a probe of its own.'
    case 'topic':
      return 'Give each mapping a topic of its own.'
  }
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** Finds what lies at the end of a path of keys and positions; the closest thing around it where there is no such path. */
function placesIn(text: string): (path: Claim['path']) => Pick<Place, 'line' | 'column' | 'length'> {
  const reading = startReading(text, 'text')
  const tree = text.trim() === '' ? null : readYaml(reading)
  return path => {
    let node: SourceNode | undefined = tree ?? undefined
    let place = node?.place ?? reading.placeAt(0, 1)
    for (const step of path) {
      if (node?.kind === 'mapping') {
        const entry = node.entries.find(({ key }) => normalKey(key) === step)
        if (entry === undefined) break
        node = entry.value
        place = entry.keyPlace
      } else if (node?.kind === 'list' && typeof step === 'number' && node.items[step] !== undefined) {
        node = node.items[step]
        place = node.place
      } else break
    }
    if (node?.kind === 'scalar') place = node.place
    const { line, column, length } = place
    return { line, column, length }
  }
}
