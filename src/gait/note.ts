/** What a note is about; stable, to be matched by tools. */
export type NoteCode =
  | 'past-run-transition'
  | 'before-run-transition'
  | 'slower-than-measured'
  | 'faster-than-measured'
  | 'swing-held-back'
  | 'pace-snapped'
  | 'few-frames'
  | 'uneven-frames'
  | 'legs-overreach'
  | 'root-lowered'
  | 'legs-cannot-reach'
  | 'tread-below-foot'
  | 'steps-fitted'
  | 'shot-eased'
  | 'needs-grip'
  | 'sharp-turn'
  | 'likely-degrees'
  | 'stands-on'
  | 'settling-left-out';

/** Something possible but odd, with its numbers; never an error. */
export interface Note {
  /** What it is about. */
  readonly code: NoteCode;
  /** One plain sentence. */
  readonly text: string;
  /** The numbers in the sentence, by name; SI units, loads in BW. */
  readonly values: Readonly<Record<string, number>>;
}
