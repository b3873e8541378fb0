import { Type } from 'typebox'

export const DemoAddress = Type.Object(
  { url: Type.String() },
  { description: 'Where the demonstration is open, on this machine.' },
)
