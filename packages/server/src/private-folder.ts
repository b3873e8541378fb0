import { chmodSync, mkdirSync, readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import { PRIVATE_FILE } from './store/private-file.ts'

const PRIVATE_FOLDER = 0o700
const OF_OTHERS = 0o077
const WRITE_OF_OTHERS = 0o022
const STICKY = 0o1000

/** Names that the cellar gives, also to records that it has put aside, and to copies on their way. */
const OURS = /^(?:cellar\.sqlite|holds-records\.|in-use\.|backup-to-be-fetched)/

/**
 * Makes the data folder where there is none, and takes away what others may do to it and to what is ours in it: records hold
 * the secret of sessions, passwords of mail servers and addresses of telephones. A folder in which other things lie, such as
 * somebody's home, keeps its rights. Returns what could not be put right, each with what would be right.
 */
export function makePrivateFolder(folder: string): readonly string[] {
  mkdirSync(folder, { recursive: true, mode: PRIVATE_FOLDER })
  // Rights there are of another kind.
  if (process.platform === 'win32') return []
  const names = readdirSync(folder)
  const ours = names.filter(name => OURS.test(name))
  const open = ours.map(name => join(folder, name)).filter(path => !closeTo(path, PRIVATE_FILE))
  const isAllOurs = ours.length === names.length
  if (isAllOurs && !closeTo(folder, PRIVATE_FOLDER)) open.unshift(folder)
  if (open.length > 0) {
    return [
      `Others can read ${open.join(', ')}, where secrets stand, and that could not be changed: as its owner say ` +
        `“chmod -R go-rwx ${folder}”, or take a folder on a disk that knows rights.`,
    ]
  }
  const { mode } = statSync(folder)
  return !isAllOurs && (mode & WRITE_OF_OTHERS) !== 0 && (mode & STICKY) === 0
    ? [
        `Others can write into ${folder}, and could replace the records: take a folder of the cellar’s own, or say “chmod go-w ${folder}”.`,
      ]
    : []
}

/** Whether others can do nothing to it, perhaps only from now on. */
function closeTo(path: string, mode: number): boolean {
  const isOpen = () => ((statSync(path, { throwIfNoEntry: false })?.mode ?? 0) & OF_OTHERS) !== 0
  if (!isOpen()) return true
  try {
    chmodSync(path, mode)
  } catch {
    return false
  }
  return !isOpen()
}
