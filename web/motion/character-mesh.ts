import { AnimationMixer, Color, Group, Mesh, MeshLambertMaterial } from 'three';
import type { GLTFParser } from 'three/examples/jsm/loaders/GLTFLoader.js';
import { asNumber, asRecord, asText } from '../../core/document/index.ts';
import type { ClipState } from '../session/index.ts';
import { tokenColour } from '../styles/room.ts';

type ReadyClip = Extract<ClipState, { kind: 'ready' }>;

/** How much of the mesh shows: the mannequin that is weighed is seen through it. */
const OPACITY = 0.72;

/** A character's own mesh from its glTF file, on paper, laid over the figure that is weighed. */
export class CharacterMesh {
  readonly group = new Group();
  readonly #clip: ReadyClip;
  readonly #mixer: AnimationMixer | null;

  private constructor(clip: ReadyClip, group: Group, mixer: AnimationMixer | null) {
    this.#clip = clip;
    this.#mixer = mixer;
    this.group.matrixAutoUpdate = false;
    this.group.add(group);
  }

  /**
   * Reads the mesh of a clip; null where its file has none with a skin. Rejects with what three.js says
   * of a file that it cannot read (compressed meshes, say); the figure is weighed without it.
   */
  static async read(clip: ReadyClip): Promise<CharacterMesh | null> {
    if (clip.link.format !== 'gltf') return null;
    const { GLTFLoader } = await import('three/examples/jsm/loaders/GLTFLoader.js');
    const loader = new GLTFLoader();
    const material = new MeshLambertMaterial({ transparent: true, opacity: OPACITY });
    material.color = new Color(tokenColour('--figure'));
    loader.register((parser) => new OnPaper(parser, material) as never);
    const gltf = await loader.parseAsync(clip.bytes.slice().buffer, '');
    let skinned = false;
    gltf.scene.traverse((part) => {
      if (!(part instanceof Mesh)) return;
      // Bounds are those of the pose it was bound in.
      part.frustumCulled = false;
      skinned ||= 'isSkinnedMesh' in part;
    });
    if (!skinned) return null;
    const { playing } = clip.read;
    const animation = playing === null ? undefined : gltf.animations[playing.animation];
    const mixer = animation === undefined ? null : new AnimationMixer(gltf.scene);
    if (mixer !== null && animation !== undefined) mixer.clipAction(animation).play();
    return new CharacterMesh(clip, gltf.scene, mixer);
  }

  /** Brings it to a frame of the clip. */
  pose(frame: number): void {
    const { playing, placementAt } = this.#clip.read;
    this.#mixer?.setTime((playing?.start ?? 0) + frame / this.#clip.rate);
    const placement = placementAt?.(frame);
    if (!placement) return;
    const { group } = this;
    group.position.set(...placement.position);
    group.quaternion.set(...placement.rotation);
    group.scale.setScalar(placement.scale);
    group.updateMatrix();
    group.updateMatrixWorld(true);
  }
}

/**
 * Gives every mesh the paper's material, so that no picture of the file is fetched, and takes numbers out
 * of data URIs by itself: the page's policy lets nothing be fetched from there.
 */
class OnPaper {
  readonly name = 'on-paper';
  readonly #parser: GLTFParser;
  readonly #material: MeshLambertMaterial;

  constructor(parser: GLTFParser, material: MeshLambertMaterial) {
    this.#parser = parser;
    this.#material = material;
  }

  loadMaterial(): Promise<MeshLambertMaterial> {
    return Promise.resolve(this.#material);
  }

  loadBufferView(index: number): Promise<ArrayBuffer> | null {
    const json = asRecord(this.#parser.json);
    const view = asRecord((json?.bufferViews as unknown[] | undefined)?.[index]);
    const buffer = asNumber(view?.buffer);
    const length = asNumber(view?.byteLength);
    const uri = asText(asRecord((json?.buffers as unknown[] | undefined)?.[buffer ?? -1])?.uri);
    if (uri === null || length === null || !uri.startsWith('data:')) return null;
    const text = atob(uri.slice(uri.indexOf(',') + 1));
    const from = asNumber(view?.byteOffset) ?? 0;
    const bytes = Uint8Array.from({ length }, (_, i) => text.charCodeAt(from + i));
    return Promise.resolve(bytes.buffer);
  }
}

/** Follows the clip of a draft and has its mesh once it is read. */
export class MeshOfClip {
  readonly #ready: () => void;
  #clip: ReadyClip | null = null;
  #mesh: CharacterMesh | null = null;

  /** @param ready called when a mesh has been read */
  constructor(ready: () => void) {
    this.#ready = ready;
  }

  /** The mesh at a frame; null while there is none. */
  at(clip: ClipState, frame: number): CharacterMesh | null {
    if (clip.kind !== 'ready') return null;
    if (clip !== this.#clip) {
      this.#clip = clip;
      this.#mesh = null;
      void this.#read(clip);
    }
    this.#mesh?.pose(frame);
    return this.#mesh;
  }

  async #read(clip: ReadyClip): Promise<void> {
    // A file whose mesh cannot be shown is weighed without it: its skeleton has been read already.
    const mesh = await CharacterMesh.read(clip).catch(() => null);
    if (this.#clip !== clip || mesh === null) return;
    this.#mesh = mesh;
    this.#ready();
  }
}
