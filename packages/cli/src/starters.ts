import { readFileSync } from 'node:fs'

/** A process that this one was started through, and that people and supervisors take for it: npx, its shell, the launcher. */
interface Starter {
  readonly pid: number
  /** Tells it from another process that gets its number later; null: not known on this system. */
  readonly began: string | null
}

/** The launcher says so, when it hands over to another Node. */
export const LAUNCHED = 'ATTEMPER_LAUNCHED'

const LOOK_EVERY_MS = 1000

/**
 * Calls back once, when a process that this one was started through has ended. npx passes no signal on: ended or killed, it
 * leaves its children behind, and nobody would know of the cellar that still switches a heater.
 *
 * A shell from which somebody started it, and that they have closed since, is none of them: a starter is of the same group
 * of processes, and either the launcher or one that npm has set up (all below npm have `npm_execpath` in their
 * environment). Returns how to end it.
 */
export function watchStarters(
  env: Readonly<Record<string, string | undefined>>,
  onLost: (pid: number) => void,
  every_ms: number = LOOK_EVERY_MS,
): () => void {
  const starters = findStarters(env)
  if (starters.length === 0) return () => undefined
  const timer = setInterval(() => {
    const lost = starters.find(starter => !isAlive(starter))
    if (lost === undefined) return
    clearInterval(timer)
    onLost(lost.pid)
  }, every_ms)
  timer.unref()
  return () => clearInterval(timer)
}

function findStarters(env: Readonly<Record<string, string | undefined>>): readonly Starter[] {
  const own = lookAt(process.pid)
  let hasStarter = env.npm_execpath !== undefined || env[LAUNCHED] !== undefined
  if (own === null) return hasStarter ? [{ pid: process.ppid, began: null }] : []
  const starters: Starter[] = []
  let parent = own.parent
  while (hasStarter && parent > 1) {
    const look = lookAt(parent)
    if (look === null || look.group !== own.group) break
    starters.push({ pid: parent, began: look.began })
    hasStarter = isBelowNpm(parent)
    parent = look.parent
  }
  return starters
}

function isAlive({ pid, began }: Starter): boolean {
  // Without /proc: whoever's parent has ended is given another one.
  if (began === null) return process.ppid === pid
  const look = lookAt(pid)
  return look !== null && look.began === began && look.state !== 'Z' && look.state !== 'X'
}

/** As proc_pid_stat(5) has it; null: no such process, or a system without it. */
function lookAt(pid: number) {
  try {
    const text = readFileSync(`/proc/${pid}/stat`, 'latin1')
    // The name in parentheses may itself hold some.
    const fields = text.slice(text.lastIndexOf(')') + 2).split(' ')
    return { state: fields[0]!, parent: Number(fields[1]), group: Number(fields[2]), began: fields[19]! }
  } catch {
    return null
  }
}

function isBelowNpm(pid: number): boolean {
  try {
    return /(?:^|\0)npm_execpath=/.test(readFileSync(`/proc/${pid}/environ`, 'latin1'))
  } catch {
    return false
  }
}
