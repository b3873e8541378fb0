/**
 * Changes to the text of a plan, stage by stage, that keep its comments and the way it is written (edit-yaml.ts). Each
 * gives the new text, or null when this text can only be changed by hand. Values are written as they are handed in.
 */
import {
  insertItem,
  moveItem,
  removeItem,
  removePair,
  repeatItem,
  replacePair,
  setValue,
  type YamlPath,
} from '../source-text/edit-yaml.ts'
import { readYaml } from '../source-text/read-yaml.ts'
import { startReading } from '../source-text/reading.ts'
import { ITEM, propertiesOf, scalarsOf, schemasAt } from '../source-text/schema-walk.ts'
import type { Nameable } from '../source-text/value-shapes.ts'
import { inline, mapping, printMapping, type Tree } from './print-yaml.ts'
import { planSchema } from './schema.ts'

const STAGES = ['stages'] as const

export function moveStage(text: string, from: number, to: number): string | null {
  return moveItem(text, STAGES, from, to)
}

/** Without its comments the stage is gone; what leads to it is not changed, so that its findings say what is missing. */
export function removeStage(text: string, index: number): string | null {
  return removeItem(text, STAGES, index)
}

/** A stage behind another one, that keeps a temperature (as written: "18 °C") for a time. */
export function addStage(
  text: string,
  index: number,
  name: string,
  hold: string,
  lasting: string,
): string | null {
  const stage = mapping({
    stage: freeName(text, 'stage', name),
    hold,
    until: mapping({ 'stage lasted': lasting }),
  })
  return insertItem(text, STAGES, index, { inline: inline(stage), lines: printMapping(stage, 0) })
}

/** A copy behind the original; it and its tasks get names of their own. */
export function duplicateStage(text: string, index: number): string | null {
  const copied = repeatItem(text, STAGES, index)
  if (copied === null) return null
  const isInCopy = (path: YamlPath): boolean => path[0] === 'stages' && path[1] === index + 1
  return namesIn(copied, 'stage')
    .concat(namesIn(copied, 'task'))
    .filter(({ path, isNew }) => isNew && isInCopy(path))
    .reduce<string | null>((changed, { path, name, what }) => {
      if (changed === null) return null
      const own = freeName(text, what, name)
      const renamed = setValue(changed, path, inline(own), [])
      if (what === 'stage' || renamed === null) return renamed
      return renameAll(renamed, 'task', name, own, each => isInCopy(each))
    }, copied)
}

/** Gives a stage another name, wherever the plan speaks of it. */
export function renameStage(text: string, index: number, name: string): string | null {
  const before = namesIn(text, 'stage').find(({ path, isNew }) => isNew && path[1] === index)
  if (before === undefined) return setInStage(text, index, ['stage'], name)
  const isTwice = namesIn(text, 'stage').filter(each => each.isNew && each.name === before.name).length > 1
  const renamed = setValue(text, before.path, inline(name), [])
  if (renamed === null || isTwice) return renamed
  return renameAll(renamed, 'stage', before.name, name, () => true)
}

/** Gives a task another name, wherever the plan speaks of it. */
export function renameTask(text: string, index: number, task: number, name: string): string | null {
  const before = namesIn(text, 'task').find(
    ({ path, isNew }) => isNew && path[1] === index && path[3] === task,
  )
  if (before === undefined) return null
  const renamed = setValue(text, before.path, inline(name), [])
  return renamed === null ? null : renameAll(renamed, 'task', before.name, name, () => true)
}

/** Writes a value into a stage, at a path within it; keys that are not there yet are added in the usual order. */
export function setInStage(text: string, index: number, path: YamlPath, tree: Tree): string | null {
  const whole = [...STAGES, index, ...path]
  const around = whole.slice(0, -1).map(step => (typeof step === 'number' ? ITEM : step))
  const order = schemasAt(planSchema, around).flatMap(schema => Object.keys(propertiesOf(schema)))
  return setValue(text, whole, inline(tree), order)
}

/** Takes a key out of a stage. */
export function removeFromStage(text: string, index: number, path: YamlPath): string | null {
  return removePair(text, [...STAGES, index, ...path])
}

/** Puts another key in the place of one: `hold` becomes `free rise`, with its value. */
export function replaceInStage(
  text: string,
  index: number,
  path: YamlPath,
  key: string,
  tree: Tree,
): string | null {
  return replacePair(text, [...STAGES, index, ...path], key, inline(tree))
}

/** A task at the end of those of a stage. */
export function addTask(text: string, index: number, name: string): string | null {
  const own = freeName(text, 'task', name)
  const path = [...STAGES, index, 'tasks']
  const count = namesIn(text, 'task').filter(({ path: [, at], isNew }) => isNew && at === index).length
  const item = { inline: inline(own), lines: [inline(own)] }
  return insertItem(text, path, count, item) ?? setInStage(text, index, ['tasks'], [own])
}

/** The list goes with its last task. */
export function removeTask(text: string, index: number, task: number): string | null {
  return removeItem(text, [...STAGES, index, 'tasks'], task) ?? removeFromStage(text, index, ['tasks'])
}

/** The name itself if nothing else is called so, otherwise with the next free number behind it. */
export function freeName(text: string, what: Nameable, name: string): string {
  const taken = new Set(namesIn(text, what).flatMap(each => (each.isNew ? [each.name] : [])))
  if (!taken.has(name)) return name
  const stem = name.replace(/ \d+$/, '')
  let number = 2
  while (taken.has(`${stem} ${number}`)) number += 1
  return `${stem} ${number}`
}

interface NameInText {
  readonly what: Nameable
  readonly name: string
  readonly path: YamlPath
  /** Whether it is given here, and not referred to. */
  readonly isNew: boolean
}

/** Where stages or tasks are named: the schema says which places these are. */
function namesIn(text: string, what: Nameable): readonly NameInText[] {
  const tree = readYaml(startReading(text, 'plan'))
  if (tree === null) return []
  return scalarsOf(tree, planSchema).flatMap(({ scalar, path, schemas }): NameInText[] => {
    const isNew = schemas.some(({ title }) => title === `new name of a ${what}`)
    if (!isNew && !schemas.some(({ title }) => title === `name of a ${what}`)) return []
    return [{ what, name: scalar.text.trim().replace(/\s+/g, ' '), path, isNew }]
  })
}

function renameAll(
  text: string,
  what: Nameable,
  from: string,
  to: string,
  isMeant: (path: YamlPath) => boolean,
): string | null {
  return namesIn(text, what)
    .filter(({ name, path, isNew }) => !isNew && name === from && isMeant(path))
    .reduce<string | null>(
      (changed, { path }) => (changed === null ? null : setValue(changed, path, inline(to), [])),
      text,
    )
}
