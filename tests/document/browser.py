"""A headless Chromium, driven by its own debugging protocol: what the tests of the page need and no more."""

import json
import os
import shutil
import subprocess
import tempfile
import time

import websocket

START_SECONDS = 60
ANSWER_SECONDS = 120


class Browser:
    """One page. `requests`, `complaints`: what it asked for and what it had to say since the last open()."""

    def __init__(self):
        self.profile = tempfile.mkdtemp(prefix="leanrich-browser-")
        command = ["chromium", "--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking",
                   "--remote-debugging-port=0", f"--user-data-dir={self.profile}", "about:blank"]
        if os.getuid() == 0:
            command.insert(2, "--no-sandbox")
        self.process = subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
                                        stderr=subprocess.DEVNULL)
        self.socket = websocket.create_connection(self._address(), timeout=ANSWER_SECONDS, suppress_origin=True)
        self.last = 0
        self.session = None
        self.requests, self.complaints, self.loaded = [], [], False
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self.session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Network", "Runtime", "Log", "DOM", "Accessibility"):
            self.call(domain + ".enable")

    def _address(self):
        path = os.path.join(self.profile, "DevToolsActivePort")
        for _ in range(START_SECONDS * 10):
            if os.path.exists(path):
                lines = open(path).read().split()
                if len(lines) == 2:
                    return f"ws://127.0.0.1:{lines[0]}{lines[1]}"
            time.sleep(0.1)
        raise RuntimeError("Chromium did not start")

    def close(self):
        try:
            self.session = None
            self.call("Browser.close")
            self.process.wait(START_SECONDS)
        finally:
            self.process.kill()
            shutil.rmtree(self.profile, ignore_errors=True)

    def _note(self, event):
        method, said = event.get("method"), event.get("params", {})
        if method == "Network.requestWillBeSent":
            self.requests.append(said["request"]["url"])
        elif method == "Page.loadEventFired":
            self.loaded = True
        elif method == "Runtime.exceptionThrown":
            self.complaints.append(said["exceptionDetails"].get("text", "exception"))
        elif method == "Runtime.consoleAPICalled" and said["type"] in ("error", "warning", "assert"):
            self.complaints.append(str(said["args"]))
        elif method == "Log.entryAdded" and said["entry"]["level"] in ("error", "warning"):
            self.complaints.append(said["entry"]["text"])

    def call(self, method, **parameters):
        self.last += 1
        message = {"id": self.last, "method": method, "params": parameters}
        if self.session:
            message["sessionId"] = self.session
        self.socket.send(json.dumps(message))
        while True:
            answer = json.loads(self.socket.recv())
            if answer.get("id") == self.last:
                if "error" in answer:
                    raise RuntimeError(f"{method}: {answer['error']}")
                return answer["result"]
            self._note(answer)

    def open(self, path):
        self.requests, self.complaints, self.loaded = [], [], False
        self.url = "file://" + os.path.abspath(path)
        self.call("Page.navigate", url=self.url)
        while not self.loaded:
            self._note(json.loads(self.socket.recv()))
        self.run("document.body.offsetHeight")

    def run(self, expression):
        answer = self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(f"{expression}: {answer['exceptionDetails']}")
        return answer["result"].get("value")

    def press(self, key, text=None):
        codes = {"Tab": 9, "Enter": 13, " ": 32, "ArrowDown": 40, "Home": 36}
        common = {"key": key, "code": "Space" if key == " " else key, "windowsVirtualKeyCode": codes[key]}
        self.call("Input.dispatchKeyEvent", type="keyDown", **common, **({"text": text} if text else {}))
        self.call("Input.dispatchKeyEvent", type="keyUp", **common)

    def type(self, words):
        self.call("Input.insertText", text=words)
