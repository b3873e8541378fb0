import type { Finding } from '@attemper/core/finding.ts'
import { readYaml } from '@attemper/core/source-text/read-yaml.ts'
import { startReading } from '@attemper/core/source-text/reading.ts'
import { NOBODY, type NotifySettings } from './settings.ts'
import { settingsShape } from './settings-shape.ts'

/**
 * Reads the text of the settings. Everything that is wrong is a finding with its place and its cure; `settings` is null
 * when one of them is an error. An empty text tells nobody. Never throws, whatever the text.
 */
export function readSettings(
  text: string,
  file = 'notify.yaml',
): { readonly settings: NotifySettings | null; readonly findings: readonly Finding[] } {
  if (/^(?:\s*(?:#.*)?\r?\n)*\s*(?:#.*)?$/.test(text)) return { settings: NOBODY, findings: [] }
  const reading = startReading(text, file)
  const tree = readYaml(reading)
  const settings = tree === null ? undefined : settingsShape.read(tree, reading)
  const findings = reading.findings()
  return { settings: settings === undefined || reading.hasErrors() ? null : settings, findings }
}
