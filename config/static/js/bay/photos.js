// Photos: stored whole under their SHA-256 before any entry names them. Full is said beforehand.
import { answer, changeIfRoom, layUpReserve, look } from "./db.js";
import { bytes, page } from "./page.js";

const KINDS = ["image/jpeg", "image/png", "image/webp"];
const STOP = 0.8; // of the space that the browser grants; the rest is kept for entries
const NEARLY = 0.7;

export class PhotoProblem extends Error {}

export async function space() {
  if (!navigator.storage || !navigator.storage.estimate) return null;
  const { usage = 0, quota = 0 } = await navigator.storage.estimate();
  return quota ? { usage, quota, share: usage / quota } : null;
}

const NO_ROOM = "This tablet has no room for more photos. Entries without a photo still work. Send " +
  "what is in the Outbox, then take the photo again.";

// A sentence once the tablet is nearly full, before anything is lost; empty otherwise.
export async function spaceWords() {
  const found = await space();
  const share = found ? found.share : 0;
  if (share >= STOP || !await layUpReserve()) return NO_ROOM;
  return share >= NEARLY ? `This tablet is nearly full (${bytes(found.usage)} of ` +
    `${bytes(found.quota)} used). Send what is in the Outbox soon.` : "";
}

async function mustFit(file, most) {
  if (!KINDS.includes(file.type)) {
    throw new PhotoProblem(`${file.name} is not a JPEG, PNG or WebP picture.`);
  }
  if (file.size > most) {
    throw new PhotoProblem(
      `${file.name} is ${bytes(file.size)}; at most ${bytes(most)} can be sent.`);
  }
  const found = await space();
  if (found && (found.usage + file.size) / found.quota >= STOP) {
    throw new PhotoProblem(NO_ROOM);
  }
}

const hex = (buffer) =>
  [...new Uint8Array(buffer)].map((byte) => byte.toString(16).padStart(2, "0")).join("");

// Store a chosen file; resolves once it is durable.
export async function keepPhoto(file, most) {
  await mustFit(file, most);
  const buffer = await file.arrayBuffer();
  const sha256 = hex(await crypto.subtle.digest("SHA-256", buffer));
  const blob = new Blob([buffer], { type: file.type });
  const kept = { sha256, blob, size: file.size, name: file.name, person: page.person };
  if (!await changeIfRoom(["photos"], ({ photos }) => answer(photos.put(kept)))) {
    throw new PhotoProblem(NO_ROOM);
  }
  return { sha256, size: file.size, name: file.name };
}

export const photo = (sha256) => look(["photos"], ({ photos }) => answer(photos.get(sha256)));
