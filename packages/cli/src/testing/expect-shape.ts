import { readFileSync } from 'node:fs'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { expect } from 'vitest'

/** The data that a command has printed with --json; fails with ajv's own errors when it has not the published shape. */
export function expectShape(name: string, text: string) {
  const file = new URL(`../../../../docs/reference/output/${name}.schema.json`, import.meta.url)
  const ajv = new Ajv2020({ allErrors: true, strict: true, allowUnionTypes: true, strictRequired: false })
  const validate = ajv.compile(JSON.parse(readFileSync(file, 'utf8')))
  const data = JSON.parse(text)
  validate(data)
  expect(validate.errors).toBeNull()
  return data
}
