import { describe, expect, test } from 'vitest'
import { planSchema } from '../plan/schema.ts'
import { readYaml } from './read-yaml.ts'
import { startReading } from './reading.ts'
import { exclusiveKeys, ITEM, propertiesOf, scalarsOf, schemasAt } from './schema-walk.ts'

describe('what may stand at a path', () => {
  test('goes through lists, alternatives and references', () => {
    const [hold] = schemasAt(planSchema, ['stages', ITEM, 'hold'])
    expect(hold).toMatchObject({ title: 'temperature', description: 'Keeps the beer at this temperature.' })
    const path = ['stages', ITEM, 'until', 'all', ITEM, 'not', 'gravity', 'at most'] as const
    expect(schemasAt(planSchema, path)).toMatchObject([{ title: 'gravity' }])
    const late = schemasAt(planSchema, ['stages', ITEM, 'if late'])
    expect(late).toMatchObject([{ enum: ['ask', 'go on', 'hold'] }, { type: 'object' }])
    expect(late[0]!.description).toMatch(/^What happens after the longest time/)
  })

  test('is nothing where nothing may stand', () => {
    expect(schemasAt(planSchema, ['stages', 'hold'])).toEqual([])
    expect(schemasAt(planSchema, ['constructor'])).toEqual([])
  })

  test('is the same behind each name where names are the writer’s own', () => {
    const schema = { type: 'object', additionalProperties: { properties: { at: { type: 'string' } } } }
    expect(schemasAt(schema, ['any name', 'at'])).toEqual([{ type: 'string' }])
    expect(schemasAt({ ...schema, additionalProperties: false }, ['any name'])).toEqual([])
  })

  test('keys come in their order, and some exclude each other', () => {
    const [stage] = schemasAt(planSchema, ['stages', ITEM])
    expect(Object.keys(propertiesOf(stage!)).slice(0, 3)).toEqual(['stage', 'hold', 'rest'])
    expect(exclusiveKeys(stage!)).toContain('free rise')
    expect(exclusiveKeys(planSchema)).toEqual([])
  })

  test('of all scalars of a text', () => {
    const text = 'stages:\n  - { stage: A, then: B, tasks: [ Hops ], until: { done: Hops } }\n'
    const scalars = scalarsOf(readYaml(startReading(text, 'plan'))!, planSchema)
    expect(
      scalars.map(({ path, scalar, schemas }) => [path.join('/'), scalar.text, schemas[0]?.title]),
    ).toEqual([
      ['stages/0/stage', 'A', 'new name of a stage'],
      ['stages/0/then', 'B', 'name of a stage'],
      ['stages/0/tasks/0', 'Hops', 'new name of a task'],
      ['stages/0/until/done', 'Hops', 'name of a task'],
    ])
  })
})
