// A photograph: opened in the browser, with the server's help where that cannot, and the colour of one place of it.

const NEEDS_HELP = /\.(heic|heif|tiff?|dng|nef|cr2|cr3|arw|orf|rw2|raf)$/i;

const bitmapOf = (blob) => createImageBitmap(blob, { premultiplyAlpha: "none", imageOrientation: "from-image" });

// The one time a photograph leaves the browser, and only as far as this computer: where it cannot be opened here.
async function help(blob, name) {
  const form = new FormData();
  form.set("file", blob, name);
  const answer = await fetch("/painting/picture", { method: "POST", body: form });
  if (answer.ok) return answer.blob();
  const fault = new DOMParser().parseFromString(await answer.text(), "text/html");
  throw new Error(fault.querySelector(".lede")?.textContent ?? `${name} can't be opened.`);
}

// The photograph with its pixels; `say` is told when it takes longer.
export async function openPhotograph(blob, name, say) {
  try {
    return { blob, name, bitmap: await bitmapOf(blob) };
  } catch {
    if (!NEEDS_HELP.test(name)) throw new Error(`${name} is no picture that this browser opens. Save it as JPEG or PNG and drop that.`);
    say(`Scumble opens ${name} for the browser ...`);
    const helped = await help(blob, name);
    return { blob: helped, name, bitmap: await bitmapOf(helped) };
  }
}

const eye = new OffscreenCanvas(1, 1).getContext("2d", { willReadFrequently: true });

// The mean colour around a place, its channels from 0 to 1.
export function colourAt({ bitmap }, [u, v]) {
  const { width, height } = bitmap;
  const side = Math.max(Math.round(Math.max(width, height) / 400), 1);
  const [x, y] = [Math.min(Math.max(u * width - side / 2, 0), width - side), Math.min(Math.max(v * height - side / 2, 0), height - side)];
  eye.imageSmoothingQuality = "high";
  eye.drawImage(bitmap, x, y, side, side, 0, 0, 1, 1);
  return [...eye.getImageData(0, 0, 1, 1).data.slice(0, 3)].map((each) => each / 255);
}

export const hex = (colour) => `#${colour.map((each) => Math.round(255 * each).toString(16).padStart(2, "0")).join("")}`;

export const asFile = (canvas) =>
  new Promise((done, fail) => canvas.toBlob((blob) => (blob ? done(blob) : fail(new Error("The picture is too large for this browser to save."))), "image/png"));
