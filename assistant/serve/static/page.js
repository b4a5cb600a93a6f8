// Stands before the terminal's own script: tells it where its connection is, and the person how it goes.
(() => {
  const place = document.getElementById("terminal");
  const state = document.getElementById("state");
  const scheme = location.protocol === "https:" ? "wss://" : "ws://";
  place.dataset.sessionWebsocketUrl = scheme + location.host + place.dataset.screen;

  const KEYS = { f1: "\x1bOP", f2: "\x1bOQ", f3: "\x1bOR", f4: "\x1bOS", f5: "\x1b[15~", f6: "\x1b[17~", f8: "\x1b[19~", f10: "\x1b[21~", esc: "\x1b", up: "\x1b[5~", down: "\x1b[6~" };
  let socket = null;

  function tell(text, ...links) {
    state.textContent = text;
    for (const [words, way] of links) {
      const link = document.createElement("a");
      link.textContent = words;
      link.href = way;
      state.append(" ", link);
    }
  }

  function focus() {
    document.querySelector(".xterm-helper-textarea")?.focus();
  }

  async function comeBack() {
    try {
      const answer = await fetch(location.href, { cache: "no-store" });
      if (answer.ok) return location.reload();
    } catch (error) { /* still away */ }
    setTimeout(comeBack, 2000);
  }

  function ended(event) {
    const again = ["Go on with it", location.pathname], start = ["To the start", "/"];
    if (event.code === 4000) tell("You have left. The case is kept.", again, start);
    else if (event.code === 4001) tell("This case is open in another window now.", ["Take it back", location.pathname], start);
    else if (event.code === 4002) tell(event.reason || "The screen failed. The case is kept.", again, start);
    else if (event.code === 4003) tell("Too many screens are open. Close one and try again.", again, start);
    else {
      tell("The connection is lost. All that was answered is kept; trying again …");
      setTimeout(comeBack, 1000);
    }
  }

  const Plain = window.WebSocket;
  window.WebSocket = class extends Plain {
    constructor(...given) {
      super(...given);
      socket = this;
      this.addEventListener("close", ended);
      this.addEventListener("message", () => {
        tell(state.dataset.usual);
        focus();
      }, { once: true });
    }
  };

  document.getElementById("touch").addEventListener("click", (event) => {
    const keys = KEYS[event.target.dataset.key];
    if (keys && socket && socket.readyState === Plain.OPEN) socket.send(JSON.stringify(["stdin", keys]));
    focus();
  });
})();
