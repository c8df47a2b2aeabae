// The requests and answers of the engine, and what browsers offer beyond the common library. Read by tsc alone.

type Side = "instructor" | "student";
type Flies = "nobody" | Side;

interface Axis { name: string; sprung: boolean; steady: number }
interface Flown { axes: Axis[]; frame_us: number; policy: string }
interface Waits { for: string; words: string; left_s: number | null; axis: number | null; stays_at: number | null }
interface FlownEvent { time_s: number; from: Flies; to: Flies; gains: Flies; cause: string; words: string; axis: number | null }
interface Note { time_s: number; words: string }
interface Craft {
  x: number; y: number; height: number; bank: number; pitch: number; heading: number;
  speed: number; sink: number; on_ground?: boolean; crashed: boolean;
}
interface State {
  time_s: number; flies: Flies; shares: boolean[]; held: boolean[]; pickup: boolean[]; waits: Waits | null;
  holds: ("" | "axis" | "craft")[]; picks_up: Waits | null; failsafe: string | null; moves: string | null; now_jumps: string | null; seen_off_first: boolean;
  kept_by_button: boolean;
  student_still_s: number; frozen_after_s: number | null;
  no_signal: Record<Side, boolean>;
  sticks: {
    instructor: number[]; student: number[]; output: number[];
    rest: (number | null)[]; engage: number[]; release: number[];
  };
  sound: boolean; lamp: boolean; events: FlownEvent[]; notes: Note[];
  plain: { flies: Flies; shares: boolean[]; output: number[]; changes: number };
  changes: number; jump: number; plain_jump: number; agrees: boolean; craft: Craft;
  mistake: { began_s: number; past_limit_s: number | null; words: string } | null;
  taken: { after_mistake_ms: number; from_stick_ms: number } | null;
}
interface Step {
  instructor: number[] | null; student: number[] | null; switch: boolean; button: boolean;
  noise: number; cut: boolean; frozen: boolean;
}
interface Setting {
  key: string; axis: string | null; kind: "time" | "points" | "count" | "flag" | "choice"; value: string;
  optional: boolean; choices: string[];
}
interface Saved { trace: string; policy: string; steps: number; digest: string }
interface Cost {
  rows: { words: string; human_m: number; whole_m: number }[]; borrowed: { words: string; source: string; ms: number }[];
}

/** What `replay --page` puts into the page. */
interface Inside { trace: { name: string; text: string }; policy?: { name: string; text: string } }

interface Stick {
  name: string; help: string | null;
  thresholds: { engage: number; release: number; confirm: number; later_ms: number; false_takeovers: string | null } | null;
}
interface Looked {
  kind: "trace" | "recording" | "policy" | "box"; title: string; sound: boolean; summary: string[]; sticks: Stick[];
  report: string; svg: string | null;
  lesson: boolean; proof: { doubts: string[]; checked: string | null; differs_s: number | null }; files: { name: string; text: string }[];
}
interface Waited { words: string; s: number }
interface Loss {
  at_s: number; taken: boolean; back_s: number | null; words: string; axis: number | null;
  off: number[]; waited: Waited[];
}
interface Turn { from_s: number; to_s: number; flies: Flies }
interface Lesson {
  title: string; from_s: number; to_s: number; lasted_s: number; student_percent: number; axes: string[];
  of_page: boolean; moved: boolean[]; turns: Turn[]; first_waited: Waited[]; losses: Loss[];
}
type Pair = number | null;
interface Curves { axes: { instructor: Pair[]; student: Pair[]; output: Pair[] }[]; flies: string }

/** What the worker is told, and what it says. */
type Told =
  | { wasm: ArrayBuffer }
  | { id: number; put?: ArrayBuffer; ask: object };
interface Said { id: number; answer?: any; error?: string }

/** What `Desk` promises. */
interface Engine { ask(request: object): any; put(bytes: Uint8Array): void }

interface SerialPort {
  readable: ReadableStream<Uint8Array> | null; writable: WritableStream<Uint8Array> | null;
  open(options: { baudRate: number }): Promise<void>; close(): Promise<void>;
}
interface Navigator { serial?: { requestPort(): Promise<SerialPort> } }
