import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { readDoorSettings } from '@attemper/server/doors/door-settings.ts'
import { describe, expect, test } from 'vitest'
import { readCommandLine } from '../../packages/cli/src/command-line.ts'
import { COMMANDS } from '../../packages/cli/src/main.ts'

const house = fileURLToPath(new URL('../../', import.meta.url))

/** The command lines of a page: what a reader would copy. */
function commandsOf(page: string): string[] {
  const text = readFileSync(`${house}${page}`, 'utf8')
  const inBlocks = [...text.matchAll(/```sh\n([\s\S]*?)```/g)].flatMap(([, block = '']) => block.split('\n'))
  const inLines = [...text.matchAll(/`(npx attemper [^`]+)`/g)].map(([, command = '']) => command)
  return [...inBlocks, ...inLines].map(line => line.trim()).filter(line => line.startsWith('npx attemper '))
}

describe.each(['docs/guide/live.md', 'README.md'])('%s', page => {
  test.each(commandsOf(page))('%s can be said like that', line => {
    const [name, ...words] = [...line.slice('npx attemper '.length).matchAll(/"([^"]*)"|(\S+)/g)].map(
      ([, quoted, plain]) => quoted ?? plain ?? '',
    )
    if (name === '--help') return
    const command = COMMANDS.find(each => each.name === name)
    expect(command, `There is no command ${name}.`).toBeDefined()
    expect(() => readCommandLine(command!, words)).not.toThrow()
  })
})

test('the doors of the guide can be read', () => {
  const text = readFileSync(`${house}docs/guide/live.md`, 'utf8')
  const [, doors] = /```yaml\n(listen:[\s\S]*?)```/.exec(text)!
  const { settings, findings } = readDoorSettings(doors!, 'doors.yaml')
  expect(findings).toEqual([])
  expect(settings).toMatchObject({ heater: { kind: 'gpio' }, listen: { Probe: { kind: 'one-wire' } } })
})
