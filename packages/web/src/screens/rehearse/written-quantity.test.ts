import { describe, expect, test } from 'vitest'
import { writtenQuantity } from './written-quantity.ts'

describe('what is typed for a quantity', () => {
  test('is taken as it is when it can be read', () => {
    expect(writtenQuantity(' 64 °F', '18 °C', 'temperature').value).toBe('64 °F')
    expect(writtenQuantity('1 d 12 h', '3 d', 'duration').value).toBe('1 d 12 h')
    expect(writtenQuantity('1.012', '1.010', 'gravity').value).toBe('1.012')
  })

  test('gets the unit that stood there before', () => {
    expect(writtenQuantity('19', '18 °C', 'temperature').value).toBe('19 °C')
    expect(writtenQuantity('4', '3 d', 'duration').value).toBe('4 d')
    expect(writtenQuantity('-1', '2 °C', 'temperature').value).toBe('-1 °C')
  })

  test('is not taken when it can not be read, with the reason', () => {
    expect(writtenQuantity('19 d', '18 °C', 'temperature')).toMatchObject({ value: null })
    expect(writtenQuantity('19,5 °C', '18 °C', 'temperature').problem).toMatch(/point/)
    expect(writtenQuantity('', '18 °C', 'temperature').problem).not.toBeNull()
  })

  test('counts by the last digit that is written', () => {
    expect(writtenQuantity('18 °C', '18 °C', 'temperature', 1).value).toBe('19 °C')
    expect(writtenQuantity('2.5 °C', '2.5 °C', 'temperature', -1).value).toBe('2.4 °C')
    expect(writtenQuantity('0 °C', '0 °C', 'temperature', -1).value).toBe('-1 °C')
    expect(writtenQuantity('1.012', '1.012', 'gravity', 1).value).toBe('1.013')
  })
})
