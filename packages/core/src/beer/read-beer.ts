import type { Finding } from '../finding.ts'
import { readYaml } from '../source-text/read-yaml.ts'
import { startReading } from '../source-text/reading.ts'
import type { Beer } from './beer.ts'
import { beerShape } from './beer-shape.ts'

/**
 * Reads a beer from the text of a file. `file` is only the name to be given with the findings.
 *
 * Everything that is wrong is a finding with its place and its cure; the beer is null when one of them is an error.
 * Never throws, whatever the text.
 */
export function readBeer(text: string, file: string): { beer: Beer | null; findings: Finding[] } {
  const reading = startReading(text, file)
  const tree = readYaml(reading)
  const beer = tree === null ? undefined : beerShape.read(tree, reading)
  const findings = reading.findings()
  return { beer: beer === undefined || reading.hasErrors() ? null : beer, findings }
}
