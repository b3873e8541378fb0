/** A name as YAML text: quoted only where it has to be. JSON strings are YAML strings. */
export function quoted(name: string): string {
  return /^[\p{L}][\p{L}\p{N} .,'()-]*$/u.test(name) && !RESERVED.test(name) ? name : JSON.stringify(name)
}

const RESERVED = /^(true|false|null|yes|no|on|off)$|[ ]$/i
