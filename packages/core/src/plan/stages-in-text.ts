import type { Finding } from '../finding.ts'
import { readYaml } from '../source-text/read-yaml.ts'
import { startReading } from '../source-text/reading.ts'
import { normalKey } from '../source-text/record.ts'
import type { SourceMapping, SourceNode } from '../source-text/source-node.ts'
import type { DisplayUnits } from '../units/display.ts'
import { describeStage } from './english.ts'
import type { Plan, Stage } from './plan.ts'
import { planShape } from './plan-shape.ts'

/** A stage as it stands in a text, with faults or without. */
export interface StageInText {
  /** Its place among the items of `stages:`. */
  readonly index: number
  readonly name: string
  readonly source: SourceMapping
  /** null: something is wrong in it. */
  readonly stage: Stage | null
  /** In plain English, without its name; empty when something is wrong in it. */
  readonly sentences: readonly string[]
  readonly firstLine: number
  readonly lastLine: number
}

/**
 * The stages of a plan's text, so that they can be shown and changed one by one although another is faulty. null when the
 * text has no stages that could be told apart: it is no YAML, or has no list under `stages:`.
 */
export function stagesInText(text: string, units: DisplayUnits): readonly StageInText[] | null {
  const reading = startReading(text, 'plan')
  const tree = readYaml(reading)
  const items = tree === null ? undefined : itemsOf(tree)
  if (tree === null || items === undefined) return null
  const plan = planShape.read(tree, reading)
  const findings = reading.findings()
  const stages = plan?.stages ?? []
  return items.flatMap((source, index): StageInText[] => {
    if (source.kind !== 'mapping') return []
    const firstLine = source.place.line
    const lastLine = Math.max(firstLine, lastLineOf(source))
    const found = stages.findIndex(({ place }) => place.offset === source.place.offset)
    const isFaulty = found === -1 || findings.some(each => isError(each, firstLine, lastLine))
    return [
      {
        index,
        name: nameOf(source),
        source,
        stage: isFaulty ? null : stages[found]!,
        sentences: isFaulty ? [] : describeStage(plan as Plan, found, units),
        firstLine,
        lastLine,
      },
    ]
  })
}

function itemsOf(tree: SourceNode): readonly SourceNode[] | undefined {
  if (tree.kind !== 'mapping') return undefined
  const stages = tree.entries.find(({ key }) => normalKey(key) === 'stages')?.value
  return stages?.kind === 'list' ? stages.items : undefined
}

function nameOf(source: SourceMapping): string {
  const name = source.entries.find(({ key }) => normalKey(key) === 'stage')?.value
  return name?.kind === 'scalar' ? normalKey(name.text) : ''
}

function isError({ severity, line }: Finding, firstLine: number, lastLine: number): boolean {
  return severity === 'error' && line >= firstLine && line <= lastLine
}

function lastLineOf(node: SourceNode): number {
  switch (node.kind) {
    case 'scalar':
      return node.place.line
    case 'list':
      return Math.max(node.place.line, ...node.items.map(lastLineOf))
    case 'mapping':
      return Math.max(
        node.place.line,
        ...node.entries.map(({ keyPlace, value }) => Math.max(keyPlace.line, lastLineOf(value))),
      )
  }
}
