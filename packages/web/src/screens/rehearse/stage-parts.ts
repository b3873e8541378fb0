/** The parts of a stage as they stand in its text, for whoever changes them one by one. */
import { planSchema } from '@attemper/core/plan/schema.ts'
import type { StageInText } from '@attemper/core/plan/stages-in-text.ts'
import { normalKey } from '@attemper/core/source-text/record.ts'
import {
  exclusiveKeys,
  ITEM,
  type PlacedScalar,
  propertiesOf,
  scalarsOf,
  schemasAt,
} from '@attemper/core/source-text/schema-walk.ts'
import type { JsonSchema } from '@attemper/core/source-text/shape.ts'
import type { SourceNode } from '@attemper/core/source-text/source-node.ts'

/** What may stand in a stage. */
export const stageSchema: JsonSchema = schemasAt(planSchema, ['stages', ITEM])[0]!

/** The keys of which each stage has one: what the temperature does. */
export const courseKeys: readonly string[] = exclusiveKeys(stageSchema)

export function meaningOf(key: string): string {
  return String(propertiesOf(stageSchema)[key]?.description ?? '')
}

/** What may stand at a path within a stage. */
export function schemasIn(path: readonly (string | number)[]): readonly JsonSchema[] {
  return schemasAt(planSchema, [
    'stages',
    ITEM,
    ...path.map(step => (typeof step === 'number' ? ITEM : step)),
  ])
}

/** A value within a stage that stands for itself. */
export interface StageValue {
  /** Within the stage. */
  readonly path: readonly (string | number)[]
  readonly text: string
  readonly schemas: readonly JsonSchema[]
  /** Its keys, read as words: "gravity above final". */
  readonly label: string
}

/** What stands behind a key of a stage; undefined when the key is not there. */
export function partOf(stage: StageInText, key: string): SourceNode | undefined {
  return stage.source.entries.find(each => normalKey(each.key) === key)?.value
}

/** The single values behind a key, however deep. */
export function valuesOf(stage: StageInText, key: string): readonly StageValue[] {
  const part = partOf(stage, key)
  if (part === undefined) return []
  return scalarsOf(part, planSchema, ['stages', stage.index, key]).map(each => stageValue(each, key))
}

/** Of a scalar that stands right behind a key; empty when it is not there, or something else. */
export function textOf(stage: StageInText, ...path: readonly string[]): string {
  let node: SourceNode | undefined = partOf(stage, path[0]!)
  for (const step of path.slice(1)) {
    node =
      node?.kind === 'mapping' ? node.entries.find(({ key }) => normalKey(key) === step)?.value : undefined
  }
  return node?.kind === 'scalar' ? node.text.trim() : ''
}

function stageValue({ path, scalar, schemas }: PlacedScalar, key: string): StageValue {
  const own = path.slice(2)
  const words = own.slice(1).filter((step): step is string => typeof step === 'string')
  const label = words.filter(word => word !== 'all' && word !== 'any').join(' ')
  return { path: own, text: scalar.text.trim(), schemas, label: label === '' ? key : label }
}

export interface TaskInText {
  readonly index: number
  readonly name: string
  /** The line on which it stands. */
  readonly line: number
  readonly waits: boolean
  /** Whether it is given at a condition, and not at the beginning. */
  readonly hasCondition: boolean
  /** Written as a mapping, so that `wait` can stand beside its name. */
  readonly isMapping: boolean
}

export function tasksOf(stage: StageInText): readonly TaskInText[] {
  const tasks = partOf(stage, 'tasks')
  if (tasks?.kind !== 'list') return []
  return tasks.items.map((item, index) => {
    const { line } = item.place
    if (item.kind !== 'mapping') {
      const name = item.kind === 'scalar' ? item.text.trim() : ''
      return { index, name, line, waits: false, hasCondition: false, isMapping: false }
    }
    const word = (key: string): string => {
      const found = item.entries.find(each => normalKey(each.key) === key)?.value
      return found?.kind === 'scalar' ? found.text.trim() : ''
    }
    return {
      index,
      name: word('task'),
      line,
      waits: word('wait') === 'true' || word('wait') === 'yes',
      hasCondition: item.entries.some(({ key }) => normalKey(key) === 'when'),
      isMapping: true,
    }
  })
}
