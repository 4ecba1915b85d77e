// Draws one part of the contract with Swagger UI, once it is asked for. In a file of its own, so that the page needs no
// script of its own inside.
"use strict";
const button = document.getElementById("draw");
button.hidden = false;
button.addEventListener("click", () => {
  button.disabled = true;
  const style = document.createElement("link");
  style.rel = "stylesheet";
  style.href = "/docs/assets/swagger-ui.css";
  const script = document.createElement("script");
  script.src = "/docs/assets/swagger-ui-bundle.js";
  script.addEventListener("load", () => {
    button.hidden = true;
    SwaggerUIBundle({
      url: button.dataset.contract,
      dom_id: "#interactive",
      presets: [SwaggerUIBundle.presets.apis],
      layout: "BaseLayout",
      docExpansion: "list",
      defaultModelsExpandDepth: -1,
      deepLinking: true,
      displayOperationId: true,
      tryItOutEnabled: true,
      // Its own way of asking a server elsewhere whether the contract is valid.
      validatorUrl: null,
    });
  });
  document.head.append(style, script);
});
