import { Type } from 'typebox'
import { readSettings } from '../../notify/read-settings.ts'
import { notifySchema } from '../../notify/schema.ts'
import { nameOf } from '../access/guard.ts'
import { HttpProblem } from '../errors.ts'
import type { HttpApp, HttpParts } from '../http-app.ts'
import { Findings, Name, problemsOfChange, problemsOfLook } from '../schemas.ts'
import { TextSchema } from './door-schemas.ts'
import { Channel, NewNotifySettings, NotifySettings, Trial } from './notify-schemas.ts'

/** How people are told of alarms. The notifier writes down itself who changed that. */
export function notifyRoutes(app: HttpApp, { notifier }: HttpParts): void {
  app.get(
    '/notify',
    {
      schema: {
        summary: 'How people are told of alarms',
        description: 'The channels, who is told by each, and whether it works.',
        tags: ['alarms'],
        response: {
          200: Type.Array(Channel, { description: 'In the order of the settings.' }),
          ...problemsOfLook(),
        },
      },
    },
    async () => notifier.channels(),
  )

  app.get(
    '/notify/settings',
    {
      // Passwords and secrets stand in it.
      config: { needs: 'brewer' },
      schema: {
        summary: 'The settings of telling',
        description: 'The text as it was written, with passwords and secrets.',
        tags: ['alarms'],
        response: {
          200: NotifySettings,
          ...problemsOfLook(),
        },
      },
    },
    async () => ({ text: notifier.settingsText() }),
  )

  app.put(
    '/notify/settings',
    {
      schema: {
        summary: 'Change the settings of telling',
        description: 'A text as docs/reference/notify.md describes it. With errors nothing is changed.',
        tags: ['alarms'],
        body: NewNotifySettings,
        response: {
          200: Type.Object({ findings: Findings }, { description: 'They hold from now on.' }),
          ...problemsOfChange('has-errors'),
        },
      },
    },
    async request => {
      const findings = notifier.useSettings(request.body.text, nameOf(request))
      if (findings.some(({ severity }) => severity === 'error')) {
        throw new HttpProblem('has-errors', 'The settings were not taken: they have errors.', { findings })
      }
      return { findings }
    },
  )

  app.post(
    '/notify/settings/check',
    {
      schema: {
        summary: 'Proof-read settings of telling',
        description: 'What is wrong with a text, with its places. Nothing is changed.',
        tags: ['alarms'],
        body: NewNotifySettings,
        response: {
          200: Type.Object({ findings: Findings }, { description: 'What the reader says.' }),
          ...problemsOfChange(),
        },
      },
    },
    async request => ({ findings: readSettings(request.body.text).findings }),
  )

  app.get(
    '/notify/schema',
    {
      schema: {
        summary: 'The schema of the settings of telling',
        description: 'What may stand in their text.',
        tags: ['alarms'],
        response: { 200: TextSchema, ...problemsOfLook() },
      },
    },
    async () => notifySchema,
  )

  app.post(
    '/notify/:channel/try',
    {
      config: { change: 'tried the channel :channel' },
      schema: {
        summary: 'Try a channel',
        description: 'Sends a test message at once to everybody who is told by it, and says how it went.',
        tags: ['alarms'],
        params: Type.Object({ channel: Name }),
        response: {
          200: Trial,
          ...problemsOfChange('unknown-channel'),
        },
      },
    },
    async request => {
      const { channel } = request.params
      const channels = notifier.channels()
      if (channels.some(({ name }) => name === channel)) return notifier.tryChannel(channel)
      throw new HttpProblem('unknown-channel', `There is no channel called “${channel}”.`, {
        cure:
          channels.length === 0
            ? 'Set one up with PUT /notify/settings.'
            : `There are: ${channels.map(({ name }) => name).join(', ')}.`,
      })
    },
  )
}
