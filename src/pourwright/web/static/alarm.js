// The room's alarm: sound, vibration, the card's color and words together, never one alone.
// The sound is made by oscillators; browsers allow it after a tap only, so the tap that starts
// a clock unlocks it.

const NOTES_HZ = [659, 880, 659, 880];
const NOTE_S = 0.22;
const AGAIN_MS = 4000;
const BUZZ_MS = [300, 120, 300];
const SILENCED = "sound-off"; // what this phone keeps until its sound is turned on again
let context = null;
let ringing = 0;
let lock = null;

/** Allow sound from now on, unless somebody silenced this phone; call it in a tap. */
export function unlock() {
  if (localStorage.getItem(SILENCED)) return;
  if (!context) {
    context = new AudioContext();
    context.addEventListener("statechange", () => document.dispatchEvent(new CustomEvent("studio:sound")));
  }
  if (context.state === "suspended") context.resume();
}

/** Whether sound would be heard. */
export const isOn = () => context?.state === "running" && !localStorage.getItem(SILENCED);

/** Turn this phone's sound on or off, at every bench and until it is turned again. */
export function turnSound(isWanted) {
  if (isWanted) localStorage.removeItem(SILENCED);
  else localStorage.setItem(SILENCED, "yes");
  unlock();
  document.dispatchEvent(new CustomEvent("studio:sound"));
}

/** Sound and shake once. */
export function ring() {
  // a browser refuses to shake before the first tap, and says so in its log
  if (navigator.userActivation?.hasBeenActive ?? true) navigator.vibrate?.(BUZZ_MS);
  if (!isOn()) return;
  NOTES_HZ.forEach((pitch, place) => {
    const begin = context.currentTime + place * NOTE_S;
    const voice = context.createOscillator(), loudness = context.createGain();
    voice.type = "triangle";
    voice.frequency.value = pitch;
    loudness.gain.setValueAtTime(0, begin);
    loudness.gain.linearRampToValueAtTime(0.5, begin + 0.02);
    loudness.gain.linearRampToValueAtTime(0, begin + NOTE_S);
    voice.connect(loudness).connect(context.destination);
    voice.start(begin);
    voice.stop(begin + NOTE_S);
  });
}

/** Ring until hush() is called. */
export function keepRinging() {
  if (ringing) return;
  ring();
  ringing = setInterval(ring, AGAIN_MS);
}

/** Stop ringing. */
export function hush() {
  if (!ringing) return;
  clearInterval(ringing);
  ringing = 0;
  if (navigator.userActivation?.hasBeenActive ?? true) navigator.vibrate?.(0);
}

/** Keep the screen on where the browser can; returns whether it does. */
export async function stayAwake() {
  if (!navigator.wakeLock || document.hidden) return Boolean(lock);
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => { lock = null; });
  } catch {
    lock = null;
  }
  return Boolean(lock);
}

/** Whether this page could keep the screen on at all. */
export const canStayAwake = () => Boolean(navigator.wakeLock);
