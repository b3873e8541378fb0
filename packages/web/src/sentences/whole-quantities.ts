const PARTED = /(\d) (?=(?:°[CFP]|%|points?|mg\/L|L|gal|W|h|d|min|s)(?![\w/]))/g

/** Ties each number to its unit, so that a line that is too long never breaks between them. */
export function wholeQuantities(sentence: string): string {
  return sentence.replace(PARTED, '$1\u00a0')
}
