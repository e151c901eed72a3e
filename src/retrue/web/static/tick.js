// One tick a second, from a thread of its own: a page that is not in front would be slowed down.
"use strict";
setInterval(() => postMessage(0), 1000);
