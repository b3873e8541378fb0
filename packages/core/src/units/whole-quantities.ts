/** The signs and words of units that stand behind a number, as a part of a regular expression. */
export const UNIT_BEHIND =
  '(?:°[CFP]|K|%|points?|mg/L|g/L|L|gal|kW|W|bar|Pa|SG|h|d|min|s|minutes?|hours?|days?|weeks?|months?|runs?)(?![\\w/])'

const PARTED = new RegExp(`(\\d) (?=${UNIT_BEHIND})`, 'g')

/** Ties each number to its unit, so that a line that is too long never breaks between them. */
export function wholeQuantities(sentence: string): string {
  return sentence.replace(PARTED, '$1\u00a0')
}
