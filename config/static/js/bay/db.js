// The device's own store. A write counts once its transaction is complete, forced to the disk.
const NAME = "bay";
const VERSION = 1;
let opening = null;

function build(db) {
  // Immutable: added under a running number, never changed.
  db.createObjectStore("events", { keyPath: "number", autoIncrement: true });
  db.createObjectStore("sending", { keyPath: "id" }); // what became of each event
  db.createObjectStore("photos", { keyPath: "sha256" });
  db.createObjectStore("drafts", { keyPath: "key" });
  db.createObjectStore("facts", { keyPath: "key" });
}

function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => build(request.result);
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = () => db.close();
      db.onclose = () => (opening = null);
      resolve(db);
    };
  });
  opening.catch(() => (opening = null));
  return opening;
}

export const answer = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

async function run(names, mode, work) {
  const db = await open();
  const transaction = db.transaction(names, mode, { durability: "strict" });
  const stores = Object.fromEntries(names.map((name) => [name, transaction.objectStore(name)]));
  const complete = new Promise((resolve, reject) => {
    transaction.oncomplete = resolve;
    transaction.onabort = () => reject(transaction.error || new Error("The store gave up."));
  });
  try {
    const value = await work(stores);
    await complete;
    return value;
  } catch (error) {
    complete.catch(() => {});
    try {
      transaction.abort();
    } catch { /* it already has ended */ }
    throw error;
  }
}

// Browsers may grant less than they say. A reserve is laid up beforehand: while it can be, nothing
// is full; photos may not touch it, and giving it up makes room for entries without a photo.
const RESERVE_BYTES = 2 * 1024 * 1024;

export async function layUpReserve() {
  if (await fact("reserve")) return true;
  try {
    await setFact("reserve", new Blob([new Uint8Array(RESERVE_BYTES)]));
    return true;
  } catch {
    return false;
  }
}

const isFull = (error) => error && error.name === "QuotaExceededError";

async function giveUpReserve() {
  if (!await fact("reserve")) return false;
  await run(["facts"], "readwrite", ({ facts }) => answer(facts.delete("reserve")));
  return true;
}

// Resolves only when everything that `work` wrote is durable.
export async function change(names, work) {
  try {
    return await run(names, "readwrite", work);
  } catch (error) {
    if (!isFull(error) || !await giveUpReserve()) throw error;
    return run(names, "readwrite", work);
  }
}

// For what is large: false when there is no room for it beside the reserve.
export async function changeIfRoom(names, work) {
  try {
    await run(names, "readwrite", work);
    return true;
  } catch (error) {
    if (!isFull(error)) throw error;
    return false;
  }
}

export const look = (names, work) => run(names, "readonly", work);

export async function fact(key) {
  const found = await look(["facts"], ({ facts }) => answer(facts.get(key)));
  return found ? found.value : undefined;
}

export const setFact = (key, value) =>
  run(["facts"], "readwrite", ({ facts }) => answer(facts.put({ key, value })));
