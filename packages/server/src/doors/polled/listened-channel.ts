import { nearestWord } from '@attemper/core/units/nearest-word.ts'
import type { NumberedChannel } from '@attemper/core/vessel/channels.ts'
import { sameName } from '../slug.ts'

export type ListenedChannel =
  | { readonly ok: true; readonly channel: NumberedChannel }
  | { readonly ok: false; readonly message: string; readonly cure: string }

/** The channel of the vessel that a name under `listen:` stands for; `quantity`: which one, if the doors say it. */
export function listenedChannel(
  written: string,
  quantity: string | undefined,
  channels: readonly NumberedChannel[],
): ListenedChannel {
  const own = channels.filter(({ instrument }) => sameName(instrument.name, written))
  if (own.length === 0) return { ok: false, ...unknownInstrument(written, channels) }
  const wanted = quantity === undefined ? own : own.filter(({ channel }) => channel.quantity === quantity)
  const [only, another] = wanted
  if (only !== undefined && another === undefined) return { ok: true, channel: only }
  const list = own.map(({ channel }) => channel.quantity).join(' and ')
  return quantity === undefined
    ? {
        ok: false,
        message: `${own[0]!.instrument.name} measures ${list}.`,
        cure: `Say which is read, as in quantity: ${own[0]!.channel.quantity}.`,
      }
    : {
        ok: false,
        message: `${own[0]!.instrument.name} does not measure ${quantity}.`,
        cure: `It measures ${list}.`,
      }
}

/** What is wrong with the name of an instrument that the vessel does not have. */
export function unknownInstrument(
  written: string,
  channels: readonly NumberedChannel[],
): { readonly message: string; readonly cure: string } {
  const names = [...new Set(channels.map(({ instrument }) => instrument.name))]
  const nearest = nearestWord(written, names)
  const list = names.length === 0 ? 'It has none.' : `It has ${names.join(', ')}.`
  return {
    message: `The vessel has no instrument “${written.slice(0, 60)}”.`,
    cure: nearest === null ? list : `Did you mean “${nearest}”?`,
  }
}
