/** One server-sent event (WHATWG HTML, section 9.2). */
export interface ServerEvent {
  readonly event: string
  readonly id: string | null
  readonly data: string
}

/** Reads events off a body until it ends. A comment, which only keeps the line alive, is passed over. */
export async function* readEventStream(body: ReadableStream<Uint8Array>): AsyncGenerator<ServerEvent> {
  const decoder = new TextDecoder()
  let rest = ''
  let event = ''
  let id: string | null = null
  let data: string[] = []
  for await (const part of body) {
    rest += decoder.decode(part, { stream: true })
    // A carriage return at the end may be the first half of a line's end.
    const lines = rest.endsWith('\r') ? rest.slice(0, -1).split(/\r\n|\n|\r/) : rest.split(/\r\n|\n|\r/)
    rest = (lines.pop() ?? '') + (rest.endsWith('\r') ? '\r' : '')
    for (const line of lines) {
      if (line === '') {
        if (data.length > 0) yield { event: event === '' ? 'message' : event, id, data: data.join('\n') }
        event = ''
        data = []
        continue
      }
      const colon = line.indexOf(':')
      const field = colon < 0 ? line : line.slice(0, colon)
      const value = colon < 0 ? '' : line.slice(colon + 1).replace(/^ /, '')
      if (field === 'event') event = value
      else if (field === 'data') data.push(value)
      else if (field === 'id') id = value
    }
  }
}
