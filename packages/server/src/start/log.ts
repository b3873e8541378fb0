import { plainText } from '@attemper/core/units/plain-text.ts'

/**
 * info: what happens; warning: somebody should look; error: something is lost, or not under control. In the words of RFC 5424
 * these are informational, warning and error.
 */
export type LogLevel = 'info' | 'warning' | 'error'

export type Log = (line: string, level?: LogLevel) => void

/**
 * Lines of a log, each with its time (UTC, RFC 3339) and its level. What comes from others, a name or an error of a device, can
 * neither command a terminal nor begin a line of its own: what follows the first line is indented.
 */
export function logTo(write: (line: string) => void, now_ms: () => number): Log {
  return (line, level = 'info') => {
    const [first = '', ...more] = plainText(line).split('\n')
    const time = new Date(now_ms()).toISOString().slice(0, 19)
    write([`${time}Z ${level.padEnd(7)} ${first}`, ...more.map(each => `    ${each}`)].join('\n'))
  }
}
