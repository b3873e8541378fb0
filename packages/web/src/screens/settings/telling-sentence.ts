import type { Channel } from '@attemper/server/http/published.ts'

/** How it stands with telling: one sentence to be read out. */
export function tellingSentence(devices: number, channels: readonly Channel[]): string {
  const others = channels.filter(({ kind, told }) => kind !== 'push' && told.length > 0)
  const failing = channels.filter(({ problem }) => problem !== null)
  if (devices === 0 && others.length === 0) return 'Nobody is told of alarms yet, unless they look here.'
  const ways = [
    ...(devices === 0 ? [] : [devices === 1 ? 'one device' : `${devices} devices`]),
    ...others.map(({ name }) => name),
  ]
  const told = `Alarms are told to ${listed(ways)}`
  if (failing.length === 0) return `${told}.`
  return `${told}, but ${listed(failing.map(({ name }) => name))} ${failing.length === 1 ? 'fails' : 'fail'}.`
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
