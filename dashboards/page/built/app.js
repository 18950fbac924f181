/**
 * @license
 * Copyright 2017 Google LLC
 * SPDX-License-Identifier: BSD-3-Clause
 */var U=globalThis,Y=t=>t,M=U.trustedTypes,ee=M?M.createPolicy("lit-html",{createHTML:t=>t}):void 0,oe="$lit$",$=`lit$${Math.random().toFixed(9).slice(2)}$`,ae="?"+$,ye=`<${ae}>`,w=document,S=()=>w.createComment(""),N=t=>t===null||typeof t!="object"&&typeof t!="function",Q=Array.isArray,Ae=t=>Q(t)||typeof t?.[Symbol.iterator]=="function",I=`[ 	
\f\r]`,T=/<(?:(!--|\/[^a-zA-Z])|(\/?[a-zA-Z][^>\s]*)|(\/?$))/g,te=/-->/g,se=/>/g,g=RegExp(`>|${I}(?:([^\\s"'>=/]+)(${I}*=${I}*(?:[^ 	
\f\r"'\`<>=]|("|')|))|$)`,"g"),ne=/'/g,ie=/"/g,le=/^(?:script|style|textarea|title)$/i,z=t=>(e,...s)=>({_$litType$:t,strings:e,values:s}),r=z(1),A=z(2),ze=z(3),L=Symbol.for("lit-noChange"),l=Symbol.for("lit-nothing"),re=new WeakMap,v=w.createTreeWalker(w,129);function he(t,e){if(!Q(t)||!t.hasOwnProperty("raw"))throw Error("invalid template strings array");return ee!==void 0?ee.createHTML(e):e}var _e=(t,e)=>{let s=t.length-1,n=[],i,o=e===2?"<svg>":e===3?"<math>":"",a=T;for(let p=0;p<s;p++){let h=t[p],u,d,c=-1,f=0;for(;f<h.length&&(a.lastIndex=f,d=a.exec(h),d!==null);)f=a.lastIndex,a===T?d[1]==="!--"?a=te:d[1]!==void 0?a=se:d[2]!==void 0?(le.test(d[2])&&(i=RegExp("</"+d[2],"g")),a=g):d[3]!==void 0&&(a=g):a===g?d[0]===">"?(a=i??T,c=-1):d[1]===void 0?c=-2:(c=a.lastIndex-d[2].length,u=d[1],a=d[3]===void 0?g:d[3]==='"'?ie:ne):a===ie||a===ne?a=g:a===te||a===se?a=T:(a=g,i=void 0);let m=a===g&&t[p+1].startsWith("/>")?" ":"";o+=a===T?h+ye:c>=0?(n.push(u),h.slice(0,c)+oe+h.slice(c)+$+m):h+$+(c===-2?p:m)}return[he(t,o+(t[s]||"<?>")+(e===2?"</svg>":e===3?"</math>":"")),n]},H=class t{constructor({strings:e,_$litType$:s},n){let i;this.parts=[];let o=0,a=0,p=e.length-1,h=this.parts,[u,d]=_e(e,s);if(this.el=t.createElement(u,n),v.currentNode=this.el.content,s===2||s===3){let c=this.el.content.firstChild;c.replaceWith(...c.childNodes)}for(;(i=v.nextNode())!==null&&h.length<p;){if(i.nodeType===1){if(i.hasAttributes())for(let c of i.getAttributeNames())if(c.endsWith(oe)){let f=d[a++],m=i.getAttribute(c).split($),C=/([.?@])?(.*)/.exec(f);h.push({type:1,index:o,name:C[2],strings:m,ctor:C[1]==="."?W:C[1]==="?"?V:C[1]==="@"?F:y}),i.removeAttribute(c)}else c.startsWith($)&&(h.push({type:6,index:o}),i.removeAttribute(c));if(le.test(i.tagName)){let c=i.textContent.split($),f=c.length-1;if(f>0){i.textContent=M?M.emptyScript:"";for(let m=0;m<f;m++)i.append(c[m],S()),v.nextNode(),h.push({type:2,index:++o});i.append(c[f],S())}}}else if(i.nodeType===8)if(i.data===ae)h.push({type:2,index:o});else{let c=-1;for(;(c=i.data.indexOf($,c+1))!==-1;)h.push({type:7,index:o}),c+=$.length-1}o++}}static createElement(e,s){let n=w.createElement("template");return n.innerHTML=e,n}};function b(t,e,s=t,n){if(e===L)return e;let i=n!==void 0?s._$Co?.[n]:s._$Cl,o=N(e)?void 0:e._$litDirective$;return i?.constructor!==o&&(i?._$AO?.(!1),o===void 0?i=void 0:(i=new o(t),i._$AT(t,s,n)),n!==void 0?(s._$Co??=[])[n]=i:s._$Cl=i),i!==void 0&&(e=b(t,i._$AS(t,e.values),i,n)),e}var j=class{constructor(e,s){this._$AV=[],this._$AN=void 0,this._$AD=e,this._$AM=s}get parentNode(){return this._$AM.parentNode}get _$AU(){return this._$AM._$AU}u(e){let{el:{content:s},parts:n}=this._$AD,i=(e?.creationScope??w).importNode(s,!0);v.currentNode=i;let o=v.nextNode(),a=0,p=0,h=n[0];for(;h!==void 0;){if(a===h.index){let u;h.type===2?u=new E(o,o.nextSibling,this,e):h.type===1?u=new h.ctor(o,h.name,h.strings,this,e):h.type===6&&(u=new J(o,this,e)),this._$AV.push(u),h=n[++p]}a!==h?.index&&(o=v.nextNode(),a++)}return v.currentNode=w,i}p(e){let s=0;for(let n of this._$AV)n!==void 0&&(n.strings!==void 0?(n._$AI(e,n,s),s+=n.strings.length-2):n._$AI(e[s])),s++}},E=class t{get _$AU(){return this._$AM?._$AU??this._$Cv}constructor(e,s,n,i){this.type=2,this._$AH=l,this._$AN=void 0,this._$AA=e,this._$AB=s,this._$AM=n,this.options=i,this._$Cv=i?.isConnected??!0}get parentNode(){let e=this._$AA.parentNode,s=this._$AM;return s!==void 0&&e?.nodeType===11&&(e=s.parentNode),e}get startNode(){return this._$AA}get endNode(){return this._$AB}_$AI(e,s=this){e=b(this,e,s),N(e)?e===l||e==null||e===""?(this._$AH!==l&&this._$AR(),this._$AH=l):e!==this._$AH&&e!==L&&this._(e):e._$litType$!==void 0?this.$(e):e.nodeType!==void 0?this.T(e):Ae(e)?this.k(e):this._(e)}O(e){return this._$AA.parentNode.insertBefore(e,this._$AB)}T(e){this._$AH!==e&&(this._$AR(),this._$AH=this.O(e))}_(e){this._$AH!==l&&N(this._$AH)?this._$AA.nextSibling.data=e:this.T(w.createTextNode(e)),this._$AH=e}$(e){let{values:s,_$litType$:n}=e,i=typeof n=="number"?this._$AC(e):(n.el===void 0&&(n.el=H.createElement(he(n.h,n.h[0]),this.options)),n);if(this._$AH?._$AD===i)this._$AH.p(s);else{let o=new j(i,this),a=o.u(this.options);o.p(s),this.T(a),this._$AH=o}}_$AC(e){let s=re.get(e.strings);return s===void 0&&re.set(e.strings,s=new H(e)),s}k(e){Q(this._$AH)||(this._$AH=[],this._$AR());let s=this._$AH,n,i=0;for(let o of e)i===s.length?s.push(n=new t(this.O(S()),this.O(S()),this,this.options)):n=s[i],n._$AI(o),i++;i<s.length&&(this._$AR(n&&n._$AB.nextSibling,i),s.length=i)}_$AR(e=this._$AA.nextSibling,s){for(this._$AP?.(!1,!0,s);e!==this._$AB;){let n=Y(e).nextSibling;Y(e).remove(),e=n}}setConnected(e){this._$AM===void 0&&(this._$Cv=e,this._$AP?.(e))}},y=class{get tagName(){return this.element.tagName}get _$AU(){return this._$AM._$AU}constructor(e,s,n,i,o){this.type=1,this._$AH=l,this._$AN=void 0,this.element=e,this.name=s,this._$AM=i,this.options=o,n.length>2||n[0]!==""||n[1]!==""?(this._$AH=Array(n.length-1).fill(new String),this.strings=n):this._$AH=l}_$AI(e,s=this,n,i){let o=this.strings,a=!1;if(o===void 0)e=b(this,e,s,0),a=!N(e)||e!==this._$AH&&e!==L,a&&(this._$AH=e);else{let p=e,h,u;for(e=o[0],h=0;h<o.length-1;h++)u=b(this,p[n+h],s,h),u===L&&(u=this._$AH[h]),a||=!N(u)||u!==this._$AH[h],u===l?e=l:e!==l&&(e+=(u??"")+o[h+1]),this._$AH[h]=u}a&&!i&&this.j(e)}j(e){e===l?this.element.removeAttribute(this.name):this.element.setAttribute(this.name,e??"")}},W=class extends y{constructor(){super(...arguments),this.type=3}j(e){this.element[this.name]=e===l?void 0:e}},V=class extends y{constructor(){super(...arguments),this.type=4}j(e){this.element.toggleAttribute(this.name,!!e&&e!==l)}},F=class extends y{constructor(e,s,n,i,o){super(e,s,n,i,o),this.type=5}_$AI(e,s=this){if((e=b(this,e,s,0)??l)===L)return;let n=this._$AH,i=e===l&&n!==l||e.capture!==n.capture||e.once!==n.once||e.passive!==n.passive,o=e!==l&&(n===l||i);i&&this.element.removeEventListener(this.name,this,n),o&&this.element.addEventListener(this.name,this,e),this._$AH=e}handleEvent(e){typeof this._$AH=="function"?this._$AH.call(this.options?.host??this.element,e):this._$AH.handleEvent(e)}},J=class{constructor(e,s,n){this.element=e,this.type=6,this._$AN=void 0,this._$AM=s,this.options=n}get _$AU(){return this._$AM._$AU}_$AI(e){b(this,e)}};var xe=U.litHtmlPolyfillSupport;xe?.(H,E),(U.litHtmlVersions??=[]).push("3.3.3");var q=(t,e,s)=>{let n=s?.renderBefore??e,i=n._$litPart$;if(i===void 0){let o=s?.renderBefore??null;n._$litPart$=i=new E(e.insertBefore(S(),o),o,void 0,s??{})}return i._$AI(t),i};var D=class extends Error{constructor(s,n){super(n);this.code=s}code};async function ce(t){let e=await t.text();if(t.ok)return e;let s=`the server refused (${t.status})`;try{s=JSON.parse(e).error??s}catch{}throw new D(t.status,s)}async function ke(t){let e=await ce(t);return e===""?void 0:JSON.parse(e)}async function O(t){return ce(await fetch(t))}async function ue(t,e){return ke(await fetch(t,{method:"POST",headers:{"Content-Type":"application/json"},body:JSON.stringify(e)}))}var Te=900,de=5e3,pe=500,P=class{hello;now;claims=new Map;lines=[];heard=0;gone=!1;source;listeners=new Set;lineListeners=new Set;messageListeners=new Map;asked=!1;start(){this.open(),setInterval(()=>this.look(),200)}subscribe(e){this.listeners.add(e)}onLine(e){this.lineListeners.add(e)}on(e,s){let n=this.messageListeners.get(e)??new Set;this.messageListeners.set(e,n.add(s)),n.size===1&&this.source&&this.hear(this.source,e)}changed(){if(this.asked)return;this.asked=!0;let e=()=>{if(this.asked){this.asked=!1;for(let s of this.listeners)s()}};requestAnimationFrame(e),document.hidden&&setTimeout(e,500)}get silence(){return(performance.now()-this.heard)/1e3}open(){let e=this.lines.at(-1)?.seq,s=new EventSource("/api/live"+(e===void 0?"":`?after=${e}`));this.source=s,s.addEventListener("hello",n=>this.greet(JSON.parse(n.data))),s.addEventListener("now",n=>{this.now=JSON.parse(n.data),this.word()}),s.addEventListener("claims",n=>{for(let i of JSON.parse(n.data).claims)this.claims.set(i.claim,i);this.word()}),s.onmessage=n=>this.line(JSON.parse(n.data)),s.onerror=()=>{s.readyState!==EventSource.CLOSED||this.source!==s||setTimeout(()=>this.reopen(),1e3)};for(let n of this.messageListeners.keys())this.hear(s,n)}hear(e,s){e.addEventListener(s,n=>{let i=JSON.parse(n.data);for(let o of this.messageListeners.get(s)??[])o(i)})}reopen(){this.source?.close(),this.open()}greet(e){if(this.hello&&(this.hello.session!==e.session||this.hello.build!==e.build)){location.reload();return}!this.hello&&e.after>0&&this.past(e.after),this.hello=e,document.title=`benchproof: ${e.model}`,this.word()}async past(e){let n=(await O(`/api/timeline?after=${Math.max(0,e-pe)}&limit=${pe}`)).split(`
`).filter(i=>i!=="").map(i=>JSON.parse(i));this.lines.unshift(...n.filter(i=>i.seq<=e)),this.changed()}line(e){let s=this.lines.at(-1)?.seq??0;if(!(e.seq<=s)){this.lines.push(e),this.lines.length>de&&this.lines.splice(0,this.lines.length-de);for(let n of this.lineListeners)n(e);this.word()}}word(){this.heard=performance.now(),this.gone=!1,this.changed()}look(){let e=performance.now()-this.heard>Te;e!==this.gone&&(this.gone=e,this.changed())}};function fe(t){if(t.gone||!t.now)return r`<p class="headline trouble" role="alert">
      ${t.heard===0?"Waiting for benchproof.":"benchproof does not answer. What is below is old."}
    </p>`;let e=[...t.now.headline].sort((s,n)=>+(n.grade==="trouble")-+(s.grade==="trouble"));return r`<p class="headline">
    ${e.map(s=>r`<span class=${"part "+s.grade}>${s.text}</span>`)}
  </p>`}var Se={"seen right":A`<circle cx="8" cy="8" r="7"/><path class="sign" d="M4.5 8.5l2.5 2.5 4.5-5.5"/>`,"seen wrong":A`<path d="M8 .8L15.6 14.6H.4z"/><path class="sign" d="M8 5v5M8 11.6v1.6"/>`,open:A`<circle class="ring" cx="8" cy="8" r="6"/>`,stale:A`<circle class="ring" cx="8" cy="8" r="6"/><path d="M8 2a6 6 0 0 0 0 12z"/>`};function me(t){return r`<span class=${"verdict "+t.replace(" ","-")}
    ><svg viewBox="0 0 16 16" aria-hidden="true">${Se[t]}</svg><span class="word">${t}</span></span
  >`}function $e(t){return r`<ul class="claims">
    ${[...t.claims.values()].map(e=>r`<li>${me(e.verdict)} <span>${e.sentence}</span></li>`)}
  </ul>`}var Ne="This page may only look. Answering needs the token that benchproof was started with.",Le="This page may only look: nothing can be answered from here until watch is started with --token-file.";function ve(t){return t.now?r`<div class="draft">
    ${x(t)?l:r`<p class="note">${t.s.hello?.token?Ne:Le}</p>`}
    ${t.refusal===""?l:r`<p class="trouble" role="alert">${t.refusal}</p>`}
    ${t.now.trouble?r`<p class="trouble" role="alert">${t.now.trouble}</p>`:l} ${He(t)}
  </div>`:r`<p>This session has a sheet. A sheet is drafted in a session that listens without one.</p>`}function x(t){return t.s.hello?.change===!0}function He(t){switch(t.now?.state){case"asking":return Re(t);case"kept":return De(t);case"writing":return r`<h2>All is asked</h2>
        <p role="status">The sheet is being written.</p>`;case"lacking":return r`<h2>All is asked</h2>
        ${G(t)} ${K(t)}
        <div class="steps">${_(t,"back","Back")} ${_(t,"end","End draft")}</div>`;case"done":return je(t);default:return Ee(t)}}function Ee(t){return r`<h2>Draft a sheet by doing</h2>
    <p class="lead">
      benchproof asks you to move one control after the other, finds on the bus which channel that is and how far it goes, and asks for what the wire
      can’t tell. It takes some three minutes. What it must be safe for stands first.
    </p>
    <div class="steps">${we(t,"Begin")}</div>`}function De(t){return r`<h2>A draft was broken off here</h2>
    ${G(t)}
    <div class="steps">${we(t,"Go on")}</div>
    ${x(t)?r`<details>
          <summary>Begin anew</summary>
          <p>What was answered is let go of.</p>
          <button ?disabled=${t.busy} @click=${()=>{t.does({do:"begin",text:"anew"})}}>Let go of it, begin anew</button>
        </details>`:l}
    ${K(t)}`}function we(t,e){return x(t)?r`<button class="go" ?disabled=${t.busy} @click=${()=>{t.does({do:"begin"})}}>${e}</button>`:l}function Re(t){let e=t.now?.question;return e?r`${G(t)}
    ${e.cautions?r`<ul class="heed">
          ${e.cautions.map(s=>r`<li>${s}</li>`)}
        </ul>`:l}
    <div aria-live="assertive" aria-atomic="true"><h2 class="question">${e.text}</h2></div>
    ${e.never?r`<p class="never">Do not move channel ${e.never.join(", ")}: it starts limit learning.</p>`:l}
    ${t.now?.wire?r`<p class="wire" role="status">${Ce(t)}</p>`:l}
    <div role="status" class=${"news"+(t.fresh.length?" some":"")+(t.now?.wire?" roomy":"")} tabindex=${t.fresh.length?"0":l}>
      <ul>
        ${t.fresh.map(s=>r`<li>${s}</li>`)}
      </ul>
    </div>
    ${x(t)?r`${Me(t,e)} ${Pe(t,e)}`:l} ${K(t)}`:r``}function Ce(t){let e=t.now?.moved??[];return e.length===0?"The wire answers this: no touch is needed.":`Seen to move: channel ${e.join(", ")}.`}function Me(t,e){let s=i=>r`<button type="button" ?disabled=${t.busy} @click=${()=>{t.does({do:"answer"})}}>${i}</button>`;return t.now?.wire?r`<div class="row">${s(e.act==="put"||e.act==="jump"?"Enter":"What was seen so far?")}</div>`:e.act==="choose"?r`<div class="choices">
      ${e.choices?.map(i=>r`<button ?disabled=${t.busy} @click=${()=>{t.does({do:"answer",text:i.word})}}>
            <span class="word">${i.word}</span> <span>${i.means}${i.word===e.enter?" (proposed)":""}</span>
          </button>`)}
    </div>`:r`<form class="row" @submit=${i=>{i.preventDefault(),t.does({do:"answer",text:ge(e).map((o,a)=>t.words[a]??"").join(" ").trim()})}}>
    ${ge(e).map((i,o)=>Oe(t,i,o))} <button class="go" ?disabled=${t.busy}>Answer</button>
    ${e.enter?s(`Enter alone: ${e.means||e.enter}`):l}
  </form>`}function ge(t){let e=s=>({label:s,keys:"numeric"});switch(t.act==="mode"?"mode":t.act==="confirm"?"confirm":t.wants){case"confirm":return[{label:"Type yes",keys:"text"}];case"mode":return[{label:"Name of the mode",keys:"text"}];case"channel":return[e("Number of the channel")];case"count":return[e("How many")];case"width":return[e("Microseconds")];case"times":return[e("How often"),e("In how many seconds")];case"edges":return Array.from({length:(t.places??2)-1},(s,n)=>e(`Edge ${n+1}, microseconds`));case"control":return[{label:"Kind",keys:"text",words:["switch","knob","momentary"]},{label:"Name",keys:"text"}];default:return[{label:"Answer",keys:"text",free:!0}]}}function Oe(t,e,s){let n=t.words[s]??"";return e.words?r`<label class="field"
      >${e.label}
      <select .value=${n} @change=${i=>t.typed(s,i)}>
        <option value=""></option>
        ${e.words.map(i=>r`<option value=${i}>${i}</option>`)}
      </select>
    </label>`:r`<label class="field"
    >${e.label}
    <input
      .value=${n}
      inputmode=${e.keys}
      autocapitalize=${e.free?"sentences":"none"}
      autocomplete="off"
      spellcheck="false"
      enterkeyhint="send"
      maxlength="200"
      @input=${i=>t.typed(s,i)}
    />
  </label>`}function Pe(t,e){return r`<div class="steps">
    ${e.no_skip?r`<button disabled>Skip</button>`:_(t,"skip","Skip")} ${_(t,"back","Back")} ${_(t,"repeat","Anew")}
    ${_(t,"end","End draft")}
  </div>`}function _(t,e,s){return x(t)?r`<button class=${e==="end"?"end":""} ?disabled=${t.busy} @click=${()=>{t.does({do:e})}}>${s}</button>`:l}function G(t){let{done:e,known:s}=t.now??{done:0,known:0};return r`<label class="progress"
    ><progress max=${s} value=${e}></progress> ${e} of ${s} questions; an answer may bring further ones</label
  >`}function R(t){return r`<span class=${"from "+t}>${t}</span>`}function K(t){return t.now?.found.length?r`<h3>Found so far</h3>
    <ul class="found">
      ${t.now.found.map(e=>r`<li>${R(e.from)} ${e.text}</li>`)}
    </ul>`:l}var Be=/^(.*?)\s+# (measured|said|assumed)(?:: (.*))?$/;function Ie(t){let e=Be.exec(t);return e?{text:e[1]??"",source:e[2],note:e[3]??""}:{text:t,source:void 0,note:""}}function je(t){let e=(t.sheet??[]).map(Ie),s=n=>e.filter(i=>i.source===n).length;return r`<h2>The sheet is drafted</h2>
    ${t.now?.file?r`<p class="lead"><b>${t.now.file}</b> is written. Read it: what is assumed is yours to check.</p>`:l}
    <p class="counts">
      ${R("measured")} ${s("measured")} lines ${R("said")} ${s("said")} lines ${R("assumed")} ${s("assumed")} lines: read these first
    </p>
    ${Fe(t)}
    <div class="row">
      <a class="button" href="/api/draft/sheet" download=${t.now?.file?.split(/[\\/]/).at(-1)??"drafted.yaml"}>Download the sheet</a>
      <button aria-pressed=${t.assumedOnly} @click=${()=>Ve(t)}>Only what is assumed</button>
      ${x(t)?r`<button ?disabled=${t.busy} @click=${()=>{t.does({do:"begin"})}}>Draft another one</button>`:l}
    </div>
    <ol class="lines" aria-label="The sheet">
      ${(t.assumedOnly?We(e):e).map(Je)}
    </ol>`}function We(t){let e=n=>n.text.search(/\S/),s=new Set;return t.forEach((n,i)=>{if(n.source!=="assumed")return;s.add(n);let o=e(n);for(let a of t.slice(0,i).reverse()){let p=e(a);p<0||p>=o||a.text.trimStart().startsWith("#")||(s.add(a),o=p)}}),t.filter(n=>s.has(n))}function Ve(t){t.assumedOnly=!t.assumedOnly,t.s.changed()}function Fe(t){return t.now?.commands?r`<p>End this session with Ctrl-C in its terminal. Then, there:</p>
    <ul class="commands">
      ${t.now.commands.map(e=>r`<li>
            <code tabindex="0">${e}</code>
            ${isSecureContext?r`<button @click=${()=>{t.copy(e)}}>${t.copied===e?"Copied":"Copy"}</button>`:l}
          </li>`)}
    </ul>`:l}function Je(t){return r`<li class=${t.source??(t.text.trimStart().startsWith("#")?"remark":"plain")}>
    <code>${t.text}</code> ${t.source?r`<span class="why">${R(t.source)} ${t.note}</span>`:l}
  </li>`}var B=class{constructor(e){this.s=e;e.on("draft",s=>this.take(s,!0))}s;now;words=[];refusal="";busy=!1;sheet;assumedOnly=!1;copied="";told=0;sheetOf="";get fresh(){return(this.now?.news??[]).filter(e=>e.number>this.told).map(e=>e.text).reverse()}typed(e,s){this.words[e]=s.target.value,this.s.changed()}async does(e){if(this.busy)return;this.busy=!0,this.refusal="",this.s.changed();let s=this.now,n=s?.question?.id,i=n===void 0||e.do==="begin"||e.do==="end"?e:{...e,question:n};try{this.take(await ue("/api/draft",i),!1)}catch(o){this.refusal=o instanceof D?o.message:"benchproof did not answer: it may not have taken that."}this.now?.asked===s?.asked&&(this.busy=!1,e.do==="answer"&&s?.question?.act!=="mode"&&(this.words=[])),this.s.changed()}async copy(e){await navigator.clipboard.writeText(e),this.copied=e,this.s.changed()}take(e,s){let n=this.now;if(!(!s&&n&&e.version<n.version)){if(this.now=e,n?.asked!==e.asked){this.words=[],this.refusal="",this.busy=!1;let i=n?.news.at(-1)?.number??0;this.told=e.news.some(o=>o.number===i)?i:0,requestAnimationFrame(()=>this.focus())}e.state==="done"&&this.sheetOf!==(e.file??" ")&&this.read(e.file??" "),e.state!=="done"&&(this.sheetOf=""),this.s.changed()}}focus(){matchMedia("(pointer: fine)").matches&&document.querySelector(".draft .field input, .draft .field select")?.focus()}async read(e){this.sheetOf=e;try{this.sheet=(await O("/api/draft/sheet")).trimEnd().split(`
`)}catch{this.sheetOf="",this.sheet=void 0}this.s.changed()}};var k=new P,Z=new B(k),X={sheet:{title:"Sheet",view:$e},draft:{title:"Draft",view:()=>ve(Z),lacks:()=>Z.now===void 0}};function Ue(){let t=location.hash.slice(1).split("/")[0]??"";return t in X?t:Z.now?"draft":"sheet"}function be(){let t=Ue();q(r`
      <a class="skip" href="#content" @click=${e=>Qe(e)}>To the content</a>
      <header class="top">${fe(k)}</header>
      <nav aria-label="Views">
        ${Object.entries(X).filter(([,e])=>!e.lacks?.()).map(([e,s])=>r`<a href=${"#"+e} aria-current=${e===t?"page":"false"}>${s.title}</a>`)}
      </nav>
      <main id="content" tabindex="-1">${X[t]?.view(k)}</main>
    `,document.body)}function Qe(t){t.preventDefault(),document.getElementById("content")?.focus()}k.subscribe(be);addEventListener("hashchange",()=>k.changed());be();k.start();
