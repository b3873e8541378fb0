import type { Finding } from '../finding.ts'
import { readYaml } from '../source-text/read-yaml.ts'
import { type Reading, startReading } from '../source-text/reading.ts'
import type { Vessel } from './vessel.ts'
import { vesselShape } from './vessel-shape.ts'

/**
 * Reads a vessel from the text of a file. `file` is only the name to be given with the findings.
 *
 * Everything that is wrong is a finding with its place and its cure; the vessel is null when one of them is an error.
 * Never throws, whatever the text.
 */
export function readVessel(text: string, file: string): { vessel: Vessel | null; findings: Finding[] } {
  const reading = startReading(text, file)
  const tree = readYaml(reading)
  const vessel = tree === null ? undefined : vesselShape.read(tree, reading)
  if (vessel !== undefined) checkInstrumentNames(vessel, reading)
  const findings = reading.findings()
  return { vessel: vessel === undefined || reading.hasErrors() ? null : vessel, findings }
}

function checkInstrumentNames(vessel: Vessel, reading: Reading) {
  const lines = new Map<string, number>()
  for (const { name, place } of vessel.instruments) {
    if (name === '') continue
    const before = lines.get(name)
    if (before === undefined) {
      lines.set(name, place.line)
      continue
    }
    reading.report(
      'duplicate-instrument',
      place,
      `An instrument “${name}” stands already in line ${before}.`,
      `Give each instrument a name of its own, for example “${name} 2”.`,
    )
  }
}
