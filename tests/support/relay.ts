/** A wire between a browser and the service that can be cut and mended. */
import net from 'node:net';

export class Relay {
  readonly #server: net.Server;
  readonly #sockets = new Set<net.Socket>();
  #isCut = false;

  private constructor(port: number) {
    this.#server = net.createServer((near) => {
      if (this.#isCut) {
        near.destroy();
        return;
      }
      const far = net.connect(port, '127.0.0.1');
      for (const [one, other] of [
        [near, far],
        [far, near],
      ] as const) {
        this.#sockets.add(one);
        one.pipe(other);
        one.on('error', () => other.destroy());
        one.on('close', () => {
          this.#sockets.delete(one);
          other.destroy();
        });
      }
    });
  }

  /** @param address of the service */
  static async to(address: string): Promise<Relay> {
    const relay = new Relay(Number(new URL(address).port));
    await new Promise<void>((resolve) => {
      relay.#server.listen(0, '127.0.0.1', resolve);
    });
    return relay;
  }

  get address(): string {
    return `http://127.0.0.1:${String((this.#server.address() as net.AddressInfo).port)}`;
  }

  /** Cuts what is connected, and whatever connects until it is mended. */
  cut(): void {
    this.#isCut = true;
    for (const socket of this.#sockets) socket.destroy();
  }

  mend(): void {
    this.#isCut = false;
  }

  async close(): Promise<void> {
    this.cut();
    await new Promise((resolve) => this.#server.close(resolve));
  }
}
