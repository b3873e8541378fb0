/** A sentence within another one: "The probe falls silent" becomes "the probe falls silent". */
export function lowerFirst(sentence: string): string {
  return sentence.replace(/^(?:The|An?|Nothing|Heater|Heating|Two|Diacetyl) /, word => word.toLowerCase())
}
