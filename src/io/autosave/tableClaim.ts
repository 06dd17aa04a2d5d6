/**
 * Which page has a table open. Each page holds a web lock per table and says so on a channel; a page that opens a table
 * already open takes the lock over, and the older one is told, through either, at once. Neither is trusted with the
 * data: `putTable` refuses a page that has lost its claim, even where both are missing.
 */
export interface TableClaim {
  /** Whether another page had the table open when this one took it. */
  readonly takenOver: boolean;
  release(): void;
}

const CHANNEL = 'forecloth-tables';

interface ClaimMessage {
  readonly tableId: string;
  readonly writer: string;
}

/** Takes the table for this page; `onLost` is called once, when another page takes it. */
export async function takeTable(tableId: string, writer: string, onLost: () => void): Promise<TableClaim> {
  let open = true;
  const lose = () => {
    if (!open) return;
    open = false;
    end();
    onLost();
  };
  const channel = typeof BroadcastChannel === 'undefined' ? null : new BroadcastChannel(CHANNEL);
  let letGo = () => {};
  const end = () => {
    channel?.close();
    letGo();
  };
  const held = new Promise<void>((resolve) => {
    letGo = resolve;
  });
  const takenOver = await takeLock(`forecloth-table:${tableId}`, held, lose);
  if (channel) {
    channel.onmessage = ({ data }: MessageEvent<ClaimMessage>) => {
      if (data.tableId === tableId && data.writer !== writer) lose();
    };
    channel.postMessage({ tableId, writer } satisfies ClaimMessage);
  }
  return {
    takenOver,
    release() {
      open = false;
      end();
    },
  };
}

/** Resolves once the lock is ours: true where it had to be taken from another. Without web locks (plain http): false. */
async function takeLock(name: string, held: Promise<void>, lose: () => void): Promise<boolean> {
  if (typeof navigator === 'undefined' || !navigator.locks) return false;
  const others = (await navigator.locks.query()).held?.some((lock) => lock.name === name) ?? false;
  await new Promise<void>((taken) => {
    navigator.locks
      .request(name, { steal: true }, () => {
        taken();
        return held;
      })
      .catch(lose); // Rejected when another page steals it.
  });
  return others;
}
