import { StoreError, type StoreErrorCode } from '../store-error.ts'

/** Primary result codes of SQLite (https://www.sqlite.org/rescode.html): what they mean to the cellar, and the cure. */
const MEANINGS: Readonly<Record<number, readonly [StoreErrorCode, string]>> = {
  3: ['io', 'Let the user of this program read and write the file and its folder.'],
  5: ['busy', 'Another program keeps it locked: end that program.'],
  8: ['io', 'Let the user of this program write the file and its folder.'],
  10: ['io', 'Look at the disk and its cable or card, and at the messages of the operating system.'],
  11: ['corrupt', 'Restore the latest backup.'],
  13: ['disk-full', 'Make space on the disk; nothing has to be restarted.'],
  14: ['io', 'Make the folder, and let the user of this program write in it.'],
  26: ['corrupt', 'It is not a database: give the name of another file, or restore the latest backup.'],
}

/** What SQLite threw, as an error of the store; anything else comes back as it is. */
export function toStoreError(error: unknown, file: string): unknown {
  if (!(error instanceof Error) || error instanceof StoreError) return error
  const { errcode } = error as { readonly errcode?: unknown }
  const meaning = typeof errcode === 'number' ? MEANINGS[errcode & 0xff] : undefined
  if (meaning === undefined) return error
  const [code, cure] = meaning
  return new StoreError(code, `${file}: ${error.message}. ${cure}`, { cause: error })
}
