// Draws the contract with Swagger UI. In a file of its own, so that the page needs no script of its own inside.
SwaggerUIBundle({
  url: "/openapi.json",
  dom_id: "#interactive",
  presets: [SwaggerUIBundle.presets.apis],
  layout: "BaseLayout",
  docExpansion: "list",
  defaultModelsExpandDepth: 0,
  deepLinking: true,
  displayOperationId: true,
  tryItOutEnabled: true,
  // Its own way of asking a server elsewhere whether the contract is valid.
  validatorUrl: null,
});
