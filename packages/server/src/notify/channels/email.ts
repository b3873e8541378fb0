import { createTransport } from 'nodemailer'
import type { Message } from '../message.ts'
import type { EmailSettings } from '../settings.ts'
import { type Channel, ChannelProblem } from './channel.ts'
import { networkProblem } from './network-problem.ts'

const TIMEOUT_MS = 15_000

/** E-mail by SMTP (RFC 5321): plain text, marked as made by a machine (RFC 3834) so that no absence note answers it. */
export function emailChannel(settings: EmailSettings): Channel {
  const { server, port, security, user, password, from } = settings
  return {
    most: 20,
    where: server,
    async send(to, messages, id, signal) {
      const transport = createTransport({
        host: server,
        port,
        secure: security === 'tls',
        requireTLS: security === 'starttls',
        ignoreTLS: security === 'none',
        connectionTimeout: TIMEOUT_MS,
        greetingTimeout: TIMEOUT_MS,
        socketTimeout: TIMEOUT_MS,
        disableFileAccess: true,
        disableUrlAccess: true,
        ...(user === null ? {} : { auth: { user, pass: password } }),
      })
      try {
        await transport.sendMail({
          from,
          to: to ?? [],
          subject: subjectOf(messages),
          text: textOf(messages),
          messageId: `<${id}@${from.slice(from.indexOf('@') + 1)}>`,
          priority: messages.some(({ priority, kind }) => priority === 'high' && kind === 'raised')
            ? 'high'
            : 'normal',
          headers: { 'Auto-Submitted': 'auto-generated' },
          signal,
        })
      } catch (error) {
        throw mailProblem(server, to, error)
      } finally {
        transport.close()
      }
    },
  }
}

function subjectOf(messages: readonly Message[]): string {
  const [first] = messages
  return messages.length === 1 ? first!.subject : `${messages.length} messages, the first: ${first!.subject}`
}

function textOf(messages: readonly Message[]): string {
  if (messages.length === 1) return messages[0]!.text
  return messages.map(({ subject, text }) => `${subject}\n\n${text}`).join(`\n${'-'.repeat(40)}\n\n`)
}

function mailProblem(server: string, to: string | null, error: unknown): ChannelProblem {
  const { code, response, responseCode } = error as {
    code?: string
    response?: string
    responseCode?: number
  }
  const answer = response === undefined ? '' : ` (${response.replace(/\s+/g, ' ').slice(0, 200)})`
  if (code === 'EAUTH' || code === 'ENOAUTH') {
    return new ChannelProblem(
      `${server} does not accept user and password${answer}`,
      'Check “user” and “password”.',
    )
  }
  if (code === 'EENVELOPE') {
    return new ChannelProblem(`${server} does not take mail for ${to}${answer}`, 'Check “to” and “from”.')
  }
  if (code === 'ETLS') return networkProblem(server, error)
  if (responseCode !== undefined && responseCode >= 400) {
    return new ChannelProblem(`${server} did not take the message${answer}`, 'Ask who runs the mail server.')
  }
  return networkProblem(server, error)
}
