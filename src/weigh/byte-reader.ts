/** Processor whose number format a C3D file is in: byte 4 of its parameter section, less 83. */
export type NumberFormat = 'intel' | 'dec' | 'mips';

/** Reads numbers of any of the three C3D formats; the caller keeps offsets inside the bytes. */
export class ByteReader {
  private readonly view: DataView;
  private readonly little: boolean;

  constructor(
    readonly bytes: Uint8Array,
    readonly format: NumberFormat,
  ) {
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.little = format !== 'mips';
  }

  uint8(at: number): number {
    return this.view.getUint8(at);
  }

  int8(at: number): number {
    return this.view.getInt8(at);
  }

  int16(at: number): number {
    return this.view.getInt16(at, this.little);
  }

  uint16(at: number): number {
    return this.view.getUint16(at, this.little);
  }

  float(at: number): number {
    return this.format === 'dec' ? this.decFloat(at) : this.view.getFloat32(at, this.little);
  }

  /**
   * A VAX F number: two little-endian words, the high one first; sign, 8 bits of exponent with a bias of
   * 128 and a fraction in [0.5, 1), where IEEE has a bias of 127 and [1, 2).
   */
  private decFloat(at: number): number {
    const high = this.view.getUint16(at, true);
    const low = this.view.getUint16(at + 2, true);
    const exponent = (high >> 7) & 0xff;
    // With a sign this is a reserved operand on a VAX; converters leave it where an IEEE −0 stood.
    if (exponent === 0) return 0;
    const fraction = 0.5 + ((high & 0x7f) * 65536 + low) / 2 ** 24;
    return (high & 0x8000 ? -1 : 1) * fraction * 2 ** (exponent - 128);
  }

  text(at: number, length: number): string {
    let text = '';
    for (let i = 0; i < length; i++) text += String.fromCharCode(this.bytes[at + i]);
    return text;
  }
}
