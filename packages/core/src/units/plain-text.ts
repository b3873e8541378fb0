/**
 * Characters that do something instead of showing something: control characters (C0, DEL and C1 of ISO 6429, among them ESC,
 * which begins a command to a terminal, and BEL), the separators of lines and paragraphs, and those that turn the direction of
 * writing (Unicode Standard Annex 9), by which a text can be made to read as another.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
const ACTING = /[\u0000-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]/gu

const IN_PLACE = '\ufffd'

/** The first of them in a name or another text of one line, as Unicode writes it (U+001B); null: all of it can be shown. */
export function actingIn(text: string): string | null {
  const at = text.search(ACTING)
  return at < 0 ? null : `U+${text.charCodeAt(at).toString(16).toUpperCase().padStart(4, '0')}`
}

/** A text as it may go to a terminal or a log: ends of lines and tabs stay, other acting characters become a mark. */
export function plainText(text: string): string {
  return text.replace(ACTING, found => (found === '\n' || found === '\t' ? found : IN_PLACE))
}

/** The same in one line, for a log or within a sentence. */
export function plainLine(text: string): string {
  return text.replace(/[\r\n\t]+/g, ' ').replace(ACTING, IN_PLACE)
}

const LONGEST_SHOWN = 60

/** What a stranger gave as a name, within a sentence. */
export function shownName(text: string): string {
  return plainLine(text.slice(0, LONGEST_SHOWN))
}
