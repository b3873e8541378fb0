import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { diskProblem } from './disk-space.ts'

test('a folder with room has no problem, one that is not there has', () => {
  const folder = mkdtempSync(join(tmpdir(), 'attemper-disk-'))
  expect(diskProblem(folder, 1)).toBeNull()
  expect(diskProblem(folder, 1e18)).toMatchObject({ kind: 'little room' })
  rmSync(folder, { recursive: true })
  expect(diskProblem(folder)).toEqual({ kind: 'disk not seen', folder })
})
