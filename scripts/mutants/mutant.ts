/** The parts of Stryker's report (the mutation testing report schema) that are used here. */
export interface Report {
  readonly files: Readonly<Record<string, ReportedFile>>
}

interface ReportedFile {
  readonly source: string
  readonly mutants: readonly ReportedMutant[]
}

interface Position {
  readonly line: number
  readonly column: number
}

interface ReportedMutant {
  readonly mutatorName: string
  readonly replacement?: string
  readonly status: string
  readonly location: { readonly start: Position; readonly end: Position }
}

export type Fate = 'killed' | 'timed out' | 'survived' | 'no coverage'

/** One small change of the code, and what became of it. */
export interface Mutant {
  readonly file: string
  readonly line: number
  /** The line on which it begins, without indentation. */
  readonly text: string
  /** 'before -> after', with single spaces. */
  readonly mutation: string
  readonly fate: Fate
}

/** One that cannot be loaded, or that was left out on purpose, says nothing about the tests. */
const FATES: Readonly<Record<string, Fate>> = {
  Killed: 'killed',
  Timeout: 'timed out',
  Survived: 'survived',
  NoCoverage: 'no coverage',
}

export function mutantsIn(report: Report): readonly Mutant[] {
  return Object.entries(report.files).flatMap(([file, { source, mutants }]) => {
    const lines = source.split('\n')
    return mutants.flatMap(({ status, location, replacement = '' }) => {
      const fate = FATES[status]
      if (fate === undefined) return []
      const text = lines[location.start.line - 1]!.trim()
      const mutation = `${oneLine(cut(lines, location))} -> ${oneLine(replacement)}`
      return [{ file, line: location.start.line, text, mutation, fate }]
    })
  })
}

function cut(lines: readonly string[], { start, end }: ReportedMutant['location']): string {
  const part = lines.slice(start.line - 1, end.line)
  const last = part.length - 1
  part[last] = part[last]!.slice(0, end.column - 1)
  part[0] = part[0]!.slice(start.column - 1)
  return part.join(' ')
}

const oneLine = (text: string) => text.replaceAll(/\s+/g, ' ').trim()
