import { Trouble } from '../../api/request.ts'

/** What can be shown of something that went wrong: what the cellar refused with its cure, or what the browser says. */
export function refusalOf(error: unknown): string {
  if (error instanceof Trouble) return error.sentence
  return error instanceof Error ? error.message : String(error)
}
